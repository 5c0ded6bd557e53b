// Drives Chromium through its DevTools protocol: reads a list of steps from standard input, writes
// one result for each. Node's own WebSocket is all that it needs.
//
//   {open: address, width, height, dark, scripts, media}   loads a page; from then on errors count
//   {run: expression}                                      its value, a promise's too
//   {key: "Tab", shift}                                    a key pressed
//   {type: text}                                           a text typed
//   {shot: file, of: selector}                             a picture of the page or of one element
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const { browser, steps } = JSON.parse(readFileSync(0, "utf8"));
const profile = mkdtempSync(join(tmpdir(), "studio-browser-"));
const running = spawn(browser, [
  "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-sync",
  "--disable-background-networking", "--disable-component-update", "--hide-scrollbars",
  "--remote-debugging-port=0", `--user-data-dir=${profile}`, "about:blank",
], { stdio: ["ignore", "ignore", "pipe"] });

const address = await new Promise((found, failed) => {
  let said = "";
  running.stderr.on("data", (more) => {
    said += more;
    const at = said.match(/DevTools listening on (ws:\S+)/);
    if (at) found(at[1]);
  });
  running.on("exit", () => failed(new Error(said)));
});
const socket = new WebSocket(address);
await new Promise((open) => socket.addEventListener("open", open, { once: true }));
const waiting = new Map(), heard = [];
let count = 0, session;
socket.addEventListener("message", ({ data }) => {
  const said = JSON.parse(data);
  if (said.id) waiting.get(said.id)?.(said);
  else heard.push(said);
});
const ask = (method, params = {}) => new Promise((done, failed) => {
  waiting.set(++count, (said) => said.error ? failed(new Error(method + ": " + said.error.message))
    : done(said.result));
  socket.send(JSON.stringify({ id: count, method, params, ...(session && { sessionId: session }) }));
});
const event = async (method) => {
  for (let tries = 0; tries < 3000; tries++) {
    const at = heard.findIndex((said) => said.method === method);
    if (at >= 0) return heard.splice(at, 1)[0].params;
    await new Promise((later) => setTimeout(later, 10));
  }
  throw new Error(`no ${method} in half a minute`);
};
const wrong = () => heard.filter((said) => ["Log.entryAdded", "Runtime.exceptionThrown"]
  .includes(said.method)).map(({ params }) => params.entry
  ? `${params.entry.text} ${params.entry.url ?? ""}`
  : params.exceptionDetails.exception?.description ?? params.exceptionDetails.text);

const { targetInfos } = await ask("Target.getTargets");
const target = targetInfos.find((one) => one.type === "page").targetId;
session = (await ask("Target.attachToTarget", { targetId: target, flatten: true })).sessionId;
for (const part of ["Page", "Runtime", "Log", "Network"]) await ask(`${part}.enable`);

const keys = { Tab: 9, Enter: 13, Escape: 27, ArrowRight: 39, ArrowDown: 40, " ": 32 };
const does = {
  async open({ open, width = 1280, height = 900, dark = false, scripts = true, media = "" }) {
    await ask("Emulation.setDeviceMetricsOverride",
      { width, height, deviceScaleFactor: 1, mobile: false });
    await ask("Emulation.setEmulatedMedia",
      { media, features: [{ name: "prefers-color-scheme", value: dark ? "dark" : "light" }] });
    await ask("Emulation.setScriptExecutionDisabled", { value: !scripts });
    heard.length = 0;
    await ask("Page.navigate", { url: open });
    await event("Page.loadEventFired");
    // fonts and pictures have been laid out once this is answered
    if (scripts) await does.run({ run: "document.fonts.ready.then(() => 1)" });
    return {
      wrong: wrong(),
      asked: heard.filter((said) => said.method === "Network.requestWillBeSent")
        .map((said) => said.params.request.url),
    };
  },
  async run({ run }) {
    const said = await ask("Runtime.evaluate",
      { expression: run, awaitPromise: true, returnByValue: true });
    if (said.exceptionDetails) throw new Error(said.exceptionDetails.exception?.description ?? run);
    return said.result.value ?? null;
  },
  async key({ key, shift = false }) {
    const pressed = { key, code: key === " " ? "Space" : key, windowsVirtualKeyCode: keys[key],
      modifiers: shift ? 8 : 0, ...(key === " " ? { text: " " } : key === "Enter" ? { text: "\r" } : {}) };
    await ask("Input.dispatchKeyEvent", { type: "keyDown", ...pressed });
    await ask("Input.dispatchKeyEvent", { type: "keyUp", ...pressed });
    return null;
  },
  async type({ type }) {
    await ask("Input.insertText", { text: type });
    return null;
  },
  async shot({ shot, of }) {
    const root = `document.querySelector(${JSON.stringify(of ?? "html")})`;
    const clip = await does.run({ run: `(() => { const r = ${root}.getBoundingClientRect();
      return {x: r.left + scrollX, y: r.top + scrollY, width: Math.ceil(r.width),
        height: Math.ceil(r.height), scale: 1}; })()` });
    const { data } = await ask("Page.captureScreenshot",
      { format: "png", captureBeyondViewport: true, clip });
    writeFileSync(shot, Buffer.from(data, "base64"));
    return null;
  },
};

let failed = null;
const out = [];
try {
  for (const step of steps) {
    const kind = Object.keys(does).find((one) => one in step);
    out.push(await does[kind](step));
  }
} catch (error) {
  failed = String(error.stack ?? error);
}
running.removeAllListeners("exit");
await new Promise((ended) => {
  running.on("exit", ended);
  socket.send(JSON.stringify({ id: ++count, method: "Browser.close" }));
});
rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
process.stdout.write(JSON.stringify({ out, failed }));
process.exit(0);

// The viewer's own blank. What is computed here are the package's own formulas, translated.
(() => {
  const by = (id) => document.getElementById("size-" + id);
  const form = by("form");
  if (!form) return;
  const { wanted, blank, typed, plate, labels } = box;
  const unit = by("unit"), first = wanted.system;
  let system = typed;

  const part = (name) => by(name + "-part");
  const step = wanted.bench;
  for (const name of ["blank", "rim"])
    for (let count = 1; count * step.inch_over < step.inch_under; count++)
      part(name).add(new Option(
        ratio_text(count * step.inch_over, step.inch_under), count * step.inch_over / step.inch_under));

  // typed lengths as whole numbers: hundredths of a millimetre, or parts of an inch that hold both
  // thousandths and sixty-fourths
  const typedAs = (name) => {
    const whole = Number(by(name).value) || 0;
    if (system === "metric") return [Math.round(whole * 100), 100];
    return [Math.round((whole + Number(part(name).value)) * 64000), 64000];
  };
  const put = (name, [over, under]) => {
    const value = over / under, whole = Math.floor(value), rest = part(name);
    rest.value = "0";
    by(name).value = over ? value : "";
    if (system === "metric" || !over) return;
    rest.value = String(value - whole);
    // a decimal inch is no part of the rule
    if (rest.selectedIndex < 0) rest.value = "0"; else by(name).value = whole;
  };
  const inches = () => {
    for (const name of ["blank", "rim"]) part(name).hidden = system === "metric";
  };

  const cell = (tag, words, kind) => {
    const made = document.createElement(tag);
    made.textContent = words;
    if (kind) made.className = kind;
    return made;
  };
  const row = ([name, metric, imperial]) => {
    const made = document.createElement("tr"), head = cell("th", labels[name] || name);
    head.scope = "row";
    const [mine, other] = first === "metric" ? [metric, imperial] : [imperial, metric];
    made.append(head);
    if (mine === other) made.append(cell("td", mine, "figure shared"));
    else made.append(cell("td", mine, "figure in-first"), cell("td", other, "figure other in-second"));
    if (mine === other) made.lastChild.colSpan = 2;
    return made;
  };

  const show = () => {
    const size = typedAs("blank"), rim = typedAs("rim");
    let found;
    try {
      found = answer(size, rim[0] > 0 ? rim : [0, 1], system,
        by("plate") ? Math.max(0, Math.trunc(Number(by("plate").value) || 0)) : 0, wanted);
    } catch {
      found = [[], ["this size cannot be computed"], []];
    }
    const [figures, reasons, mind] = found;
    by("answer").textContent = judged(reasons, mind);
    by("answer").dataset.fits = reasons.length ? "no" : mind.length ? "mind" : "yes";
    by("figures").tBodies[0].replaceChildren(...figures.map(row));
    by("figures").hidden = !figures.length;
    by("reply").value = reply(figures, reasons, mind, wanted);
  };

  unit.value = system;
  put("blank", blank);
  if (by("plate") && plate) by("plate").value = plate;
  inches();
  unit.addEventListener("change", () => {
    const before = system, kept = ["blank", "rim"].map((name) => [name, typedAs(name)]);
    system = unit.value;
    for (const [name, [over, under]] of kept)
      put(name, over ? shown(over, under, before, system, step) : [0, 1]);
    inches();
    show();
  });
  form.addEventListener("input", show);
  form.addEventListener("submit", (event) => event.preventDefault());
  by("copy").addEventListener("click", () => {
    by("reply").select();
    const done = () => { by("copied").textContent = "Copied."; };
    // some browsers have no clipboard for a page that lies on a disk: there the words are selected
    if (navigator.clipboard) navigator.clipboard.writeText(by("reply").value).then(done, () => {});
  });
  by("live").hidden = by("copy").hidden = false;
  show();
})();

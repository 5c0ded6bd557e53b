// The viewer's own blank. What is read and computed here are the package's own formulas, translated.
(() => {
  const by = (id) => document.getElementById("size-" + id);
  const form = by("form");
  if (!form) return;
  const { wanted, blank, typed, plate, labels, whole } = box;
  const unit = by("unit"), first = wanted.system, step = wanted.bench;
  let system = typed;

  const put = (name, [over, under]) => {
    by(name).value = over ? length_text(over, under, system) : "";
  };

  // numbers stay with their units at the end of a line; the reply, which is copied, has plain spaces
  const unbroken = (words) => words.replace(new RegExp(whole, "g"), "$1\u00a0");

  const cell = (tag, words, kind) => {
    const made = document.createElement(tag);
    made.textContent = unbroken(words);
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

  // what is asked back stands at its field, and is the answer until that is mended
  const ask = (name, question) => {
    const field = by(name), note = by(name + "-asked");
    note.textContent = unbroken(question);
    note.hidden = !question;
    if (question) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
    return question;
  };
  const stops = () => by("plate") ? typed_stops(by("plate").value) : [0, ""];

  const show = () => {
    const [over, under, its, unclear] = typed_size(by("blank").value, system);
    const [rim, parts, theirs, doubt] = typed_size(by("rim").value, system);
    const [plate, lost] = stops();
    const missing = by("blank").value.trim() ? "" : "Type the diameter of your blank.";
    const asked = [ask("blank", unclear || missing), ask("rim", doubt),
      by("plate") ? ask("plate", lost) : ""].filter((one) => one);
    let found = [[], [], asked];
    try {
      if (!asked.length) found = answer([over, under], its, rim ? [rim, parts] : [0, 1], theirs, plate, wanted);
    } catch {
      found = [[], [], ["This size cannot be computed."]];
    }
    const [figures, reasons, mind] = found, rows = worth_showing(figures, reasons);
    by("answer").textContent = unbroken(asked.length ? asked.join(" ") : judged(figures, reasons, mind));
    by("answer").dataset.fits = reasons.length ? "no" : mind.length ? "mind" : "yes";
    by("figures").tBodies[0].replaceChildren(...rows.map(row));
    by("figures").hidden = !rows.length;
    by("reply").value = asked.length ? "" : reply(figures, reasons, mind, wanted);
  };

  unit.value = system;
  put("blank", blank);
  if (by("plate") && plate) by("plate").value = plate;
  unit.addEventListener("change", () => {
    const kept = ["blank", "rim"].map((name) => [name, typed_size(by(name).value, system)]);
    system = unit.value;
    for (const [name, [over, under, its, unclear]] of kept)
      if (over && !unclear) put(name, shown(over, under, its, system, step));
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


"use strict";
(() => {
  const form = document.getElementById("search");
  const words = document.getElementById("words");
  const found = document.getElementById("found");
  const all = [...document.querySelectorAll("#designs > li")];
  const said = all.map((one) => one.dataset.words);
  const fold = (text) => text.toLowerCase().normalize("NFKD").replace(/\p{M}/gu, "");
  const look = () => {
    const wanted = fold(words.value).split(/\s+/).filter(Boolean);
    let count = 0;
    all.forEach((one, place) => {
      one.hidden = !wanted.every((word) => said[place].includes(word));
      count += one.hidden ? 0 : 1;
    });
    found.textContent = wanted.length
      ? (count ? count + " of " + all.length : "None of " + all.length + "; try fewer words")
      : all.length + (all.length === 1 ? " design" : " designs");
  };
  form.hidden = false;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const first = all.find((one) => !one.hidden);
    if (first && words.value.trim()) first.querySelector("a").focus();
  });
  words.addEventListener("keydown", (event) => {
    if (event.key === "Escape") { words.value = ""; look(); }
  });
  words.addEventListener("input", look);
  look();
})();

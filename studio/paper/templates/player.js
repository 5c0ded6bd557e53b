// Chapters seek the film in place. Without this they are links into it (W3C, Media Fragments URI).
(() => {
  const player = document.getElementById("player");
  if (!player) return;
  player.querySelector("source").addEventListener("error", () => {
    document.getElementById("no-film").hidden = false;
  });
  player.closest("section").addEventListener("click", (event) => {
    const link = event.target.closest("a[href*='#t=']");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    const seek = () => { player.currentTime = Number(link.hash.slice(3)); };
    // before the film's length is known some browsers forget where they were sent
    if (player.readyState) seek();
    else player.addEventListener("loadedmetadata", seek, { once: true });
    player.play().catch(() => {});
    player.focus();
  });
})();

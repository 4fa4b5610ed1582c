// A link to a folded section opens it. Without this it leads to the section's heading, which opens as any other.
(() => {
  const open = (hash) => {
    const heading = document.getElementById(hash.slice(1));
    const folded = heading === null ? null : heading.closest("details");
    if (folded !== null) folded.open = true;
  };
  // By key, too: a link that is chosen so is clicked. A second time the address does not change, so that this is not left to it.
  for (const link of document.querySelectorAll("nav a")) link.addEventListener("click", () => open(link.hash));
  addEventListener("hashchange", () => open(location.hash));
  open(location.hash);
})();

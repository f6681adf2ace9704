// Single keys press, or go to, what names them in aria-keyshortcuts (WAI-ARIA 1.2), where no text is being written.

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.repeat || event.isComposing) return;
  if (event.target.closest("input, select, textarea")) return;
  const named = document.querySelectorAll("[aria-keyshortcuts]");
  const meant = [...named].find((one) => one.getAttribute("aria-keyshortcuts") === event.key);
  if (!meant) return;
  event.preventDefault();
  if (meant.matches("input")) meant.focus();
  else meant.click();
});

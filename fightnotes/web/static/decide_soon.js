// Looks again until what waits is known, then shows it.

const AGAIN = 500; // milliseconds

async function look() {
  let text;
  try {
    text = await (await fetch(location.href)).text();
  } catch {
    document.getElementById("working").textContent = "No answer: does the program still run?";
    return;
  }
  const page = new DOMParser().parseFromString(text, "text/html");
  if (page.getElementById("working")) setTimeout(look, AGAIN);
  else location.reload();
}

document.getElementById("by-itself").hidden = false;
look();

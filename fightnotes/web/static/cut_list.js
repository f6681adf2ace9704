// A list is arranged in place: its forms are sent without a new page, focus stays with the moment that they are about,
// what was done is said, and moments can be dragged.
const heard = document.getElementById("heard");
let sending = false;

document.addEventListener("submit", (event) => {
  const form = event.target.closest("#list form");
  if (!form) return;
  event.preventDefault();
  const button = event.submitter;
  const body = new URLSearchParams(new FormData(form, button));
  send(button?.getAttribute("formaction") ?? form.getAttribute("action"), body, button?.id ?? "");
});

async function send(action, body, id) {
  if (sending) return;
  sending = true;
  try {
    const answer = await fetch(action, { method: "POST", body });
    show(await answer.text(), answer.url, id);
  } catch {
    heard.textContent = "";
    fault("The program does not answer: is it still running?");
  } finally {
    sending = false;
  }
}

function show(text, address, id) {
  const page = new DOMParser().parseFromString(text, "text/html");
  const list = page.getElementById("list");
  if (!list) {
    const said = page.querySelector(".fault")?.textContent;
    if (said) fault(said);
    else document.location = address; // the list is gone
    return;
  }
  const opened = document.activeElement?.closest("details") !== null;
  document.getElementById("list").replaceWith(list);
  document.title = page.title;
  prepare();
  const said = list.querySelector("#done");
  const failed = list.querySelector(".fault[role=alert]") !== null;
  heard.textContent = failed || !said ? "" : `${said.textContent} ${list.querySelector("#total").textContent}`;
  focus(id, failed ? "" : (said?.dataset.place ?? ""), opened);
}

// The same button of the moment where it stands now; at an end of the list the one that is there.
function focus(id, place, opened) {
  const [kind, old] = id.split("-");
  const now = place || old;
  const others = { up: ["down"], down: ["up"] }[kind] ?? [];
  const wanted = [id.includes("-") && now !== "list" ? `${kind}-${now}` : id, ...others.map((other) => `${other}-${now}`)];
  const found = [...wanted, "undo", `place-${now}`].map((each) => document.getElementById(each)).find(Boolean);
  const details = found?.closest("details");
  if (details && opened) details.open = true;
  found?.focus();
}

function fault(words) {
  document.querySelector("#list > .fault.now")?.remove();
  const line = document.createElement("p");
  line.className = "fault now";
  line.setAttribute("role", "alert");
  line.textContent = words;
  document.querySelector("#list h1").after(line);
  line.scrollIntoView({ block: "nearest" });
}

// What can be dragged is a grip, so that words of a moment can still be marked.
function prepare() {
  const forms = document.querySelectorAll(".cuts form.tools");
  for (const form of forms) {
    const grip = document.createElement("span");
    grip.className = "grip";
    grip.draggable = true;
    grip.textContent = "⠿";
    grip.title = "drag to another place";
    grip.setAttribute("aria-hidden", "true");
    form.prepend(grip);
  }
  const hint = document.querySelector(".hint");
  if (hint) hint.hidden = forms.length < 2;
}

let dragged = null;

document.addEventListener("dragstart", (event) => {
  if (!event.target.classList?.contains("grip")) return;
  dragged = event.target.closest("li");
  event.dataTransfer.effectAllowed = "move";
  event.dataTransfer.setData("text/plain", dragged.querySelector("h3").textContent);
  event.dataTransfer.setDragImage(dragged, 8, 8);
  dragged.classList.add("dragged");
});

document.addEventListener("dragover", (event) => {
  const over = dragged && event.target.closest?.(".cuts > li");
  unmark();
  if (!over) return;
  event.preventDefault();
  over.classList.add(below(event, over) ? "after" : "before");
});

document.addEventListener("drop", (event) => {
  const over = dragged && event.target.closest?.(".cuts > li");
  if (!over) return;
  event.preventDefault();
  const from = Number(dragged.dataset.place);
  const gap = Number(over.dataset.place) + (below(event, over) ? 1 : 0);
  const to = gap > from ? gap - 1 : gap;
  if (to === from) return;
  const body = new URLSearchParams(new FormData(dragged.querySelector("form.tools")));
  body.set("to", to);
  send("/cuts/move", body, to < from ? `up-${to}` : `down-${to}`);
});

document.addEventListener("dragend", () => {
  unmark();
  dragged?.classList.remove("dragged");
  dragged = null;
});

function below(event, item) {
  const box = item.getBoundingClientRect();
  return event.clientY > box.top + box.height / 2;
}

function unmark() {
  for (const item of document.querySelectorAll(".cuts > .before, .cuts > .after")) item.classList.remove("before", "after");
}

prepare();

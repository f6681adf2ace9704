// Searches while one types: asks for the page of the new link, and puts what it says in the place of what stands there.

const form = document.getElementById("asking");
const answer = document.getElementById("answer");
const ticked = document.getElementById("ticked");
const PAUSE = 250; // milliseconds without a key
const READ = 2000; // milliseconds: an answer that stood so long was read, and Back leads to it
let waiting;
let asking = new AbortController();
let shown = location.search;
let since = -READ; // what stands there now; whoever opened the page finds it again

function link() {
  const given = [...new FormData(form)].filter(([, text]) => text.trim());
  return given.length ? `/?${new URLSearchParams(given)}` : "/";
}

// The page of an address; none where a newer one is asked for meanwhile, or nobody answers, which is said.
async function pageOf(address) {
  clearTimeout(waiting);
  asking.abort(); // an older answer must not come after a newer one
  asking = new AbortController();
  answer.setAttribute("aria-busy", "true");
  try {
    const response = await fetch(address, { signal: asking.signal });
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    answer.removeAttribute("aria-busy");
    if (page.getElementById("answer")) return page;
    location.assign(address); // another page than the search says what is wrong
  } catch (error) {
    if (error.name === "AbortError") return null;
    document.getElementById("said").textContent = "No answer: does the program still run?";
    answer.removeAttribute("aria-busy");
  }
  return null;
}

// The form stays as it is, and with it the focus.
async function ask() {
  const address = link();
  const page = await pageOf(address);
  if (!page) return;
  document.getElementById("said").replaceChildren(...page.getElementById("said").childNodes);
  remember(address);
  show(page);
}

// The form, too, becomes that of the address.
async function open(address) {
  const page = await pageOf(address);
  if (!page) return false;
  const written = document.activeElement?.id === "q";
  form.replaceChildren(...page.getElementById("asking").childNodes);
  if (written) document.getElementById("q").focus();
  show(page);
  return true;
}

function show(page) {
  const found = page.getElementById("answer");
  keepTicks([...found.querySelectorAll("input[form=add-to-list]")]);
  answer.replaceChildren(...found.childNodes);
  document.title = page.title;
  shown = location.search;
  since = performance.now();
}

// What was only passed through while typing is no place to come back to.
function remember(address) {
  if (address === location.pathname + location.search) return;
  if (performance.now() - since < READ) history.replaceState(null, "", address);
  else history.pushState(null, "", address);
}

// What was ticked for a cut list stays so, if need be above the moments of the next answer.
function keepTicks(boxes) {
  const before = [...document.querySelectorAll("input[form=add-to-list]:checked")];
  const labels = [];
  for (const box of before) {
    const again = boxes.find((one) => one.value === box.value);
    if (again) again.setAttribute("checked", "");
    else labels.push(box.closest("#ticked label") ?? labelled(box));
  }
  ticked.querySelector("div").replaceChildren(...labels);
  ticked.hidden = labels.length === 0;
}

function labelled(box) {
  const label = document.createElement("label");
  label.className = "box";
  label.append(box, ` ${box.dataset.called}`);
  box.removeAttribute("aria-label");
  return label;
}

// As soon as a control is filled, an empty one stands beside it for another value.
function offerAnother(controls) {
  const last = controls.lastElementChild;
  if (!last.querySelector("input").value) return;
  const next = last.cloneNode(true);
  next.firstChild.textContent = "or ";
  next.querySelector("input").value = "";
  controls.append(next);
}

form.addEventListener("input", ({ target }) => {
  if (target.id !== "q") return;
  clearTimeout(waiting);
  waiting = setTimeout(ask, PAUSE);
});
form.addEventListener("change", ({ target }) => {
  const controls = target.closest(".several");
  if (controls) offerAnother(controls);
  if (target.id !== "q") ask();
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  ask();
});
answer.addEventListener("click", async (event) => {
  const more = event.target.closest("#more");
  if (!more || event.ctrlKey || event.shiftKey || event.metaKey) return;
  event.preventDefault();
  const first = more.hash;
  if (!(await open(more.href))) return;
  history.pushState(null, "", more.href);
  shown = location.search;
  answer.querySelector(`${first} a`)?.focus();
});
addEventListener("popstate", () => {
  if (location.search !== shown) open(location.href); // else it was a link within the page
});

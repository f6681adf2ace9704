// Moments go into a list without leaving the page they were found on.
// The form may be put in anew by a script of the page: it is listened for on the whole of it.
document.addEventListener("submit", (event) => {
  if (event.target.id !== "add-to-list") return;
  event.preventDefault();
  add(event.target);
});

async function add(form) {
  const said = form.querySelector("[role=status]");
  let answer;
  try {
    answer = await fetch(form.action, { method: "POST", body: new URLSearchParams(new FormData(form)) });
  } catch {
    said.textContent = "The program does not answer: is it still running?";
    return;
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  if (!answer.ok) {
    said.textContent = page.querySelector(".fault")?.textContent ?? answer.statusText;
    return;
  }
  const name = new URL(answer.url).searchParams.get("name");
  const link = document.createElement("a");
  link.href = answer.url;
  link.textContent = `Open ${name}`;
  said.replaceChildren(`${page.getElementById("done").textContent} `, link);
  offer(form, name);
  for (const box of document.querySelectorAll("input[form=add-to-list]")) box.checked = false;
}

// A list that was begun just now can be chosen for what is added next.
function offer(form, name) {
  form.elements.new.value = "";
  let lists = form.elements.list;
  if (!lists) {
    const label = document.createElement("label");
    lists = document.createElement("select");
    lists.name = "list";
    lists.append(new Option("a new one", ""));
    label.append("List ", lists);
    form.querySelector("legend").after(label);
  }
  if (![...lists.options].some((option) => option.value === name)) lists.prepend(new Option(name, name));
  lists.value = name;
}

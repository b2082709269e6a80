// Everything works without this: a form is sent once, and a fault is read out and seen at once.
for (const form of document.querySelectorAll("form[method=post]")) {
  form.addEventListener("submit", () => {
    const button = form.querySelector("button[type=submit]");
    setTimeout(() => { if (button) button.disabled = true; });
    // Whoever comes back to the form can send it again.
    addEventListener("pageshow", () => { if (button) button.disabled = false; });
  });
}
// A fault above the form says whose it is.
for (const link of document.querySelectorAll(".fault a")) {
  const label = document.getElementById(decodeURIComponent(link.hash.slice(1)))?.labels?.[0];
  if (label) link.prepend(`${label.textContent}: `);
}
const fault = document.querySelector(".fault[tabindex]");
if (fault) fault.focus();
// A number is typed over, and the key for the next field goes there instead of sending the form half filled.
for (const number of document.querySelectorAll("input[inputmode=decimal]"))
  number.addEventListener("focus", () => number.select());
for (const field of document.querySelectorAll("input[enterkeyhint=next]"))
  field.addEventListener("keydown", event => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    const seen = [...field.form.querySelectorAll("input:not([type=hidden]), select, textarea, button")].filter(other => other.offsetParent);
    seen[seen.indexOf(field) + 1].focus();
  });
// How far long work is; over, the page says what came of it, unless somebody is filling in a form of it.
for (const bar of document.querySelectorAll("progress[data-from]")) {
  const source = new EventSource(bar.dataset.from);
  let isSeen = false;
  const show = () => { source.close(); if (!document.activeElement.form) location.reload(); };
  source.onmessage = event => {
    const now = JSON.parse(event.data);
    isSeen = !now.isOver;
    [bar.max, bar.value] = [now.all, now.done];
    bar.nextElementSibling.textContent = now.text;
    if (now.isOver) show();
  };
  source.onerror = () => { isSeen ? show() : source.close(); };
}

// Everything works without this: a form is sent once, and a fault is read out and seen at once.
for (const form of document.querySelectorAll("form[method=post]")) {
  form.addEventListener("submit", () => {
    const button = form.querySelector("button[type=submit]");
    setTimeout(() => { if (button) button.disabled = true; });
  });
}
const fault = document.querySelector(".fault[tabindex]");
if (fault) fault.focus();

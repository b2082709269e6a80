// What is typed beside the horse stays on this phone until the service has it. The form works without this; what this adds is that a closed tab,
// a lost signal or a lost answer loses nothing, and that nothing is recorded twice: a draft keeps its id, however often it is sent.
const page = document.documentElement;
const isKept = page.dataset.kept !== undefined;
const token = "__RequestVerificationToken";
const answerWithinMs = 15000;
const againAfterMs = 30000;
const words = { unfinished: "Unfinished", waiting: "Waiting", sending: "Sending", refused: "Refused", sent: "Sent" };
let sending = "";

const drafts = () => Object.keys(localStorage).filter(key => key.startsWith("draft ")).map(key => JSON.parse(localStorage[key])).sort((a, b) => a.at < b.at ? -1 : 1);
const draftOf = id => localStorage[`draft ${id}`] && JSON.parse(localStorage[`draft ${id}`]);
const save = draft => { localStorage[`draft ${draft.id}`] = JSON.stringify(draft); };
const drop = draft => localStorage.removeItem(`draft ${draft.id}`);
const mine = () => drafts().filter(draft => draft.who === who);

// Whoever is signed in. What is kept of another's pages goes when somebody else signs in, and when nobody is signed in any more.
const isSignedOut = document.querySelector("form[action='/sign-in']") !== null;
let cleared;
if (!isKept && (isSignedOut || page.dataset.who && page.dataset.who !== localStorage.who)) {
  localStorage.removeItem("who");
  cleared = globalThis.caches?.delete("forms");
}
if (!isKept && page.dataset.who) localStorage.who = page.dataset.who;
const who = page.dataset.who ?? localStorage.who;

// The form to measure.
const form = document.querySelector("form[data-horse]");
if (form) {
  const once = form.elements.once;
  if (isKept) {
    once.value = newId();
    form.elements["/measuredAt"].value = onClock(form.dataset.zone);
  }
  const asked = draftOf(location.hash.slice(1));
  const isNew = !document.querySelector(".fault") && !draftOf(once.value);
  const before = asked?.who === who ? asked : mine().findLast(draft => draft.state === "unfinished" && isOf(draft, form));
  if (isNew && before) fill(form, before);
  form.addEventListener("input", () => keep(form, "unfinished"));
  form.addEventListener("submit", event => {
    const draft = keep(form, "waiting");
    if (!draft) return;
    event.preventDefault();
    record(form, draft);
  });
}

function isOf(draft, form) {
  const corrects = draft.fields.find(([name]) => name === "/corrects")?.[1] ?? "";
  return draft.action === form.getAttribute("action") && corrects === form.elements["/corrects"].value;
}

function keep(form, state) {
  const fields = [...new FormData(form)].filter(([name, value]) => name !== token && value !== "");
  const draft = { id: form.elements.once.value, who, action: form.getAttribute("action"), horse: form.dataset.horse, at: new Date().toISOString(), state, fields, faults: [] };
  try {
    save(draft);
    return draft;
  } catch {
    say("This phone keeps nothing more: its memory for this service is full. Send this form before you close it.");
    return null;
  }
}

function fill(form, draft) {
  const values = new Map(draft.fields);
  for (const field of form.elements) {
    if (!field.name || field.type === "hidden") continue;
    field.value = values.get(field.name) ?? "";
    if (field.value && field.closest("details") && field.tagName !== "SELECT") field.closest("details").open = true;
  }
  form.elements.once.value = draft.id;
  const again = document.createElement("button");
  again.className = "quiet";
  again.textContent = "Start afresh";
  again.addEventListener("click", () => { drop(draft); location.replace(location.pathname + location.search); });
  say(`What was typed on ${atWords(draft.at)} is filled in again.`, again);
  for (const [name, text] of draft.faults) mark(form.elements[name], text);
}

// A fault stands beside its field, as where the service shows the form itself.
function mark(field, text) {
  const fault = document.createElement("p");
  fault.className = "error";
  fault.textContent = text;
  if (!field?.id) {
    fault.className = "fault";
    form.prepend(fault);
    return;
  }
  fault.id = `${field.id}-error`;
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", `${fault.id} ${field.getAttribute("aria-describedby") ?? ""}`.trim());
  field.after(fault);
  for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
}

// From the page the service has just sent: it shows its own faults. Without a signal the draft waits.
async function record(form, draft) {
  if (isKept) return location.assign("/waiting");
  const answer = await post(draft, form.elements[token].value).catch(() => null);
  if (answer?.type === "opaqueredirect") {
    drop(draft);
    location.assign(`/measurements/${draft.id}`);
  } else if (answer && isHeard(answer)) {
    save({ ...draft, state: "unfinished" });
    form.submit();
  } else {
    location.assign("/waiting");
  }
}

const isHeard = answer => answer.status < 500 && answer.status !== 429;
const post = (draft, value) => fetch(draft.action, { method: "POST", redirect: "manual", signal: AbortSignal.timeout(answerWithinMs), body: new URLSearchParams([...draft.fields, [token, value]]) });

// Sends a draft from wherever one is: with the token of a form fetched now. Answers its state afterwards.
async function deliver(draft) {
  const asked = await fetch(draft.action, { cache: "no-store", signal: AbortSignal.timeout(answerWithinMs) });
  if (asked.redirected) return "signed out";
  if (!isHeard(asked)) return "waiting";
  const fresh = new DOMParser().parseFromString(await asked.text(), "text/html");
  if (!asked.ok) return refused(draft, fresh);
  if (fresh.documentElement.dataset.who !== draft.who) return "waiting";
  const answer = await post(draft, fresh.querySelector(`form[data-horse] [name=${token}]`).value);
  if (answer.type === "opaqueredirect") {
    drop(draft);
    return "sent";
  }
  return isHeard(answer) && answer.status !== 401 ? refused(draft, new DOMParser().parseFromString(await answer.text(), "text/html")) : "waiting";
}

function refused(draft, answer) {
  const ofFields = [...answer.querySelectorAll("[aria-invalid]")].map(field => [field.name, answer.getElementById(`${field.id}-error`).textContent]);
  const ofNone = [...answer.querySelectorAll(".fault li")].filter(line => !line.querySelector("a")).map(line => ["", line.textContent]);
  const faults = [...ofNone, ...ofFields];
  save({ ...draft, state: "refused", faults: faults.length ? faults : [["", answer.querySelector(".fault")?.textContent ?? "The service did not take this."]] });
  return "refused";
}

// What lies open in this window is not sent under somebody's hands.
const sent = [];
async function sendAll() {
  for (const draft of mine().filter(draft => draft.state === "waiting" && draft.id !== form?.elements.once.value)) {
    sending = draft.id;
    list();
    const state = await deliver(draft).catch(() => "waiting");
    if (state === "sent") sent.push({ ...draft, state });
    sending = "";
    list();
    show("sign-in", state === "signed out");
    if (state !== "sent" && state !== "refused") break;
    show("no-signal", false);
  }
}

// One window sends at a time.
const send = () => who && !document.hidden && (navigator.locks ? navigator.locks.request("send", { ifAvailable: true }, lock => lock && sendAll()) : sendAll());

// What waits: a link on every page, the list on its own.
const lines = document.getElementById("drafts");
function list() {
  const waiting = mine();
  for (const link of document.querySelectorAll("a[href='/waiting']")) {
    link.hidden = waiting.length === 0;
    link.textContent = `On this phone: ${waiting.length}`;
  }
  if (!lines) {
    if (sent.length) say(`Sent: ${sent.map(draft => draft.horse).join(", ")}.`);
    return;
  }
  lines.replaceChildren(...[...sent, ...waiting].map(lineOf));
  show("none", lines.children.length === 0);
  const others = drafts().length - waiting.length;
  show("others", others > 0);
  document.getElementById("others").textContent = `${others} more on this phone ${others === 1 ? "is" : "are"} somebody else's, and ${others === 1 ? "waits" : "wait"} until they sign in again.`;
}

function lineOf(draft) {
  const line = document.getElementById("draft").content.cloneNode(true).firstElementChild;
  const link = line.querySelector("a");
  link.textContent = draft.horse;
  link.href = draft.state === "sent" ? `/measurements/${draft.id}` : `${draft.action}#${draft.id}`;
  line.querySelector(".state").textContent = words[draft.id === sending ? "sending" : draft.state];
  line.querySelector(".small").textContent = `Typed ${atWords(draft.at)}.`;
  line.querySelector(".faults").replaceChildren(...draft.faults.map(([, text]) => Object.assign(document.createElement("li"), { textContent: text })));
  line.querySelector("button").addEventListener("click", () => { drop(draft); list(); });
  line.querySelector("details").hidden = draft.state === "sent" || draft.id === sending;
  return line;
}

async function listKept() {
  const cache = await globalThis.caches?.open("forms");
  for (const request of await cache?.keys() ?? []) {
    const path = new URL(request.url);
    const name = new DOMParser().parseFromString(await (await cache.match(request)).text(), "text/html").querySelector("form[data-horse]")?.dataset.horse;
    if (path.search || !name) continue;
    const line = document.createElement("li");
    line.append(Object.assign(document.createElement("a"), { href: path.pathname, textContent: name }));
    document.getElementById("kept").append(line);
  }
}

// Signing out shows first what stays behind.
document.querySelector("form[action='/sign-out']")?.addEventListener("submit", event => {
  if (lines || mine().length === 0) return;
  event.preventDefault();
  location.assign("/waiting#leaving");
});

if (lines) {
  show("leaving", location.hash === "#leaving");
  show("no-signal", isKept);
  listKept();
}
list();
send();
addEventListener("online", send);
document.addEventListener("visibilitychange", send);
setInterval(send, againAfterMs);

// The forms that can be opened from here are fetched ahead, for the next time without a signal.
if (who && !isSignedOut && navigator.serviceWorker) {
  const ahead = [...document.querySelectorAll("a[href$='/measure'], a[href$='/measure?by=traces']")].map(link => link.getAttribute("href"));
  if (form && !form.elements["/corrects"].value) ahead.unshift(form.getAttribute("action"));
  navigator.serviceWorker.register("/assets/worker.js", { scope: "/" });
  Promise.all([navigator.serviceWorker.ready, cleared]).then(([ready]) => ready.active.postMessage({ keep: ahead }));
}

function say(text, ...more) {
  const said = document.getElementById("said-here") ?? Object.assign(document.createElement("p"), { id: "said-here", className: "said", role: "status" });
  said.replaceChildren(text, " ", ...more);
  document.querySelector("h1").after(said);
}

function show(id, isShown) {
  const part = document.getElementById(id);
  if (part) part.hidden = !isShown;
}

function atWords(instant) {
  return new Date(instant).toLocaleString("en-GB", { day: "numeric", month: "long", hour: "2-digit", minute: "2-digit" });
}

// Now on the clock of the yard, as the field for day and time takes it.
function onClock(zone) {
  return new Date().toLocaleString("sv-SE", { timeZone: zone, dateStyle: "short", timeStyle: "short" }).replace(" ", "T");
}

// Ids go by time (RFC 9562, version 7), as those of the service do.
function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const now = Date.now();
  for (let at = 0; at < 6; at++) bytes[at] = Math.floor(now / 256 ** (5 - at)) % 256;
  bytes[6] = bytes[6] & 0x0f | 0x70;
  bytes[8] = bytes[8] & 0x3f | 0x80;
  return [...bytes].map(byte => byte.toString(16).padStart(2, "0")).join("").replace(/(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

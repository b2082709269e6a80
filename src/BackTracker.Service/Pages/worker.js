// Without a signal the forms to measure that were fetched before open all the same; for everything else there is the page that says what waits.
// `files`, what the pages are made of, stands above this line as it is served.
const basic = `basic ${files.join(" ")}`;
const forms = "forms";
const fallback = "/waiting";
const freshForMs = 12 * 60 * 60 * 1000;
const patienceMs = 8000;
const mostForms = 60;

self.addEventListener("install", event => event.waitUntil(install()));
self.addEventListener("activate", event => event.waitUntil(activate()));
self.addEventListener("message", event => event.waitUntil(keepAll(event.data.keep)));
self.addEventListener("fetch", event => {
  const { request } = event;
  const address = request.url.slice(location.origin.length);
  if (files.includes(address))
    event.respondWith(caches.match(address).then(kept => kept ?? fetch(request)));
  else if (request.mode === "navigate" && request.method === "GET")
    event.respondWith(open(request, new URL(request.url)));
});

async function install() {
  const cache = await caches.open(basic);
  await cache.addAll(files);
  await cache.put(fallback, await asKept(await fetch(fallback, { credentials: "omit" })));
  await self.skipWaiting();
}

async function activate() {
  // Forms of an older release ask for its files: both go together.
  for (const name of await caches.keys())
    if (name.startsWith("basic ") && name !== basic) await Promise.all([caches.delete(name), caches.delete(forms)]);
  await self.clients.claim();
}

async function open(request, address) {
  const kept = await caches.match(address.pathname + address.search);
  try {
    return await fetch(request, kept ? { signal: AbortSignal.timeout(patienceMs) } : {});
  } catch {
    return kept ?? caches.match(fallback);
  }
}

async function keepAll(paths) {
  const cache = await caches.open(forms);
  for (const path of paths.slice(0, mostForms)) {
    const before = await cache.match(path);
    if (before && Date.now() - before.headers.get("kept-at") < freshForMs) continue;
    const answer = await fetch(path).catch(() => null);
    if (answer?.ok && !answer.redirected) await cache.put(path, await asKept(answer));
  }
}

// Marked, so that its script knows that it is old; the tokens of its forms are of no use later and are left out.
async function asKept(answer) {
  const text = (await answer.text()).replace("<html ", "<html data-kept ").replace(/(name="__RequestVerificationToken"[^>]* value=")[^"]*/g, "$1");
  const headers = new Headers(answer.headers);
  headers.set("kept-at", Date.now());
  return new Response(text, { headers });
}

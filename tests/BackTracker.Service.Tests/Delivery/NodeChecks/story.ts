// The job once, through openapi-fetch and the types generated from the document alone: arguments are the address and an administrator's key.
import createClient from "openapi-fetch";
import type { components, paths } from "./schema.js";

type Check = components["schemas"]["CheckAnswer"];
type Problem = components["schemas"]["ProblemDocument"];

const [, , base, key] = process.argv;
const api = createClient<paths>({ baseUrl: base, headers: { Authorization: `Bearer ${key}` } });
const day = (fromToday: number) => new Date(Date.now() + fromToday * 86_400_000).toISOString().slice(0, 10);
const pause = (ms: number) => new Promise(resolve => setTimeout(resolve, ms));

function insist(holds: unknown, what: string): asserts holds {
  if (!holds) throw new Error(`Not as expected: ${what}.`);
}

/** What was answered, or the typed problem as an error. */
function got<T>(answer: { data?: T; error?: Problem }): T {
  if (answer.error) throw new Error(`${answer.error.status} ${answer.error.type}: ${answer.error.detail}`);
  return answer.data!;
}

const yard = got(await api.POST("/v1/yards", { body: { name: "Hollin Bank", timeZone: "UTC" } })).id;
const manager = got(await api.POST("/v1/people", { body: { name: "Isla Brook", role: "yard-manager", yardIds: [yard] } })).id;
const fitter = got(await api.POST("/v1/people", { body: { name: "Morwen Hale", role: "fitter", yardIds: [yard], bookingLeadDays: 35 } })).id;
const horse = got(await api.POST("/v1/horses", { body: { yardId: yard, name: "Bramble", bornOn: "2015-05-01" } })).id;
const ofHorse = { path: { id: horse } };
got(await api.POST("/v1/horses/{id}/phases", { params: ofHorse, body: { phase: "steady", from: day(-196) } }));
got(await api.POST("/v1/horses/{id}/events", { params: ofHorse, body: { on: day(-112), kind: "other", note: "Hill work." } }));
const saddle = got(await api.POST("/v1/saddles", { body: { yardId: yard, label: "Trail saddle", tree: "adjustable", filling: "wool" } })).id;
got(await api.POST("/v1/saddles/{id}/tree-shapes", { params: { path: { id: saddle } }, body: { from: day(-56), stations: [{ station: "T13", width150Mm: 320 }] } }));
const pairing = got(await api.POST("/v1/pairings", { body: { horseId: horse, saddleId: saddle, from: day(-56), weeklyMinutes: 240 } }));
insist(pairing.horseId === horse && pairing.to === null, "the pairing");

const widths = [309, 310, 310, 311, 316, 321, 326, 330];
for (const [i, widthMm] of widths.entries()) {
  const receipt = got(await api.POST("/v1/horses/{id}/measurements", {
    params: { ...ofHorse, header: { "Idempotency-Key": `session-${i}` } },
    body: {
      measuredAt: `${day(28 * (i - 7))}T00:01:00Z`, measuredBy: manager, method: "flexible-curve", exercise: "before",
      widths: [{ station: "T13", depthMm: 150, widthMm, repeat: 1 }, { station: "T13", depthMm: 150, widthMm: widthMm + 1, repeat: 2 }],
    },
  }));
  insist(receipt.derived[0].metric === "T13.width150" && receipt.derived[0].value === widthMm + 0.5, "what is derived");
}

let fit: Check | undefined;
for (const until = Date.now() + 60_000; !fit && Date.now() < until; await pause(100))
  fit = got(await api.GET("/v1/checks", { params: { query: { horseId: horse, state: "open" } } })).items.find(c => c.kind === "fit");
insist(fit && fit.reasons[0].text.length > 0, "the check and its reason");

const ofCheck = { id: fit.id };
const version = async () => (await api.GET("/v1/checks/{id}", { params: { path: ofCheck } })).response.headers.get("etag")!;
const seen = await version();
const booked = got(await api.POST("/v1/checks/{id}/book", { params: { path: ofCheck, header: { "If-Match": seen } }, body: { on: day(0), fitterId: fitter } }));
insist(booked.state === "booked" && booked.bookedOn === day(0), "the booking");
const stale = await api.POST("/v1/checks/{id}/unbook", { params: { path: ofCheck, header: { "If-Match": seen } }, body: { reason: "Away." } });
insist(stale.error?.status === 412 && stale.error.type === "urn:backtracker:problem:stale", "the stale version");
const done = got(await api.POST("/v1/checks/{id}/complete", {
  params: { path: ofCheck, header: { "If-Match": await version() } },
  body: {
    on: day(0), by: fitter, findings: [{ text: "Tree close behind the shoulder; opened." }],
    adjustments: [{ kind: "tree", zones: [{ side: "left", zone: "middle", mm: 6 }, { side: "right", zone: "middle", mm: 6 }] }],
  },
}));
insist(done.state === "done" && done.doneOn === day(0), "the completed check");

const ids = new Set<string>();
for (let after: string | undefined, more = true; more;) {
  const page = got(await api.GET("/v1/horses/{id}/measurements", { params: { ...ofHorse, query: { limit: 3, after } } }));
  page.items.forEach(session => ids.add(session.id));
  after = page.next === null ? undefined : new URL(page.next, base).searchParams.get("after")!;
  more = page.next !== null;
}
insist(ids.size === widths.length, "every page");

const impossible = await api.POST("/v1/horses", { body: { yardId: yard, name: "" } });
insist(impossible.error?.status === 422 && impossible.error.errors?.["/name"], "the fault by its pointer");
console.log(`booked and done: ${fit.id}`);

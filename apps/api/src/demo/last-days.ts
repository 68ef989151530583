import { checkInYard, logContact, sendNote } from "./actions.ts";
import type { Telling } from "./story.ts";

/** The two days before the story stands still: what the queues show when the demo is opened. */
export const tellOfLastDays = (telling: Telling): void => {
  const { calendar, tell } = telling;
  const at = calendar.at;
  const say = (on: string, time: string, what: string, run: (atMs: number) => Promise<unknown>) => {
    const atMs = at(on, time);
    tell(atMs, what, () => run(atMs).then(() => undefined));
  };
  for (const [on, words] of [
    ["2026-10-02", "Text to the owner about a date for the reset: no answer."],
    ["2026-10-08", "Second text to the owner: no answer."],
  ] as const)
    say(on, "10:00", "text about H22", (atMs) => logContact(telling, atMs, "R1", "H22", words));
  say("2026-10-09", "15:00", "call about H08", (atMs) =>
    logContact(
      telling,
      atMs,
      "M1",
      "H08",
      "Rang the owner: away, agrees to any day in the yard's hands.",
    ),
  );
  say("2026-10-13", "18:30", "evening check of H22", (atMs) =>
    checkInYard(telling, atMs, "C4", "H22", {
      digitalPulses: { LF: "raised", RF: "raised" },
      notes: "Pulse up, both fronts.",
    }),
  );
  say("2026-10-13", "07:40", "check of H01", (atMs) =>
    checkInYard(telling, atMs, "C1", "H01", { digitalPulses: { LF: "usual", RF: "usual" } }),
  );
  say("2026-10-13", "08:00", "check of H17", (atMs) =>
    checkInYard(telling, atMs, "C3", "H17", { notes: "Walked in boots for 10 minutes." }),
  );
  say("2026-10-13", "20:10", "hay of H17", (atMs) =>
    checkInYard(telling, atMs, "C3", "H17", { notes: "Hay 4.3 kg as fed." }),
  );
  say("2026-10-12", "07:30", "weighing of H02 booked", (atMs) =>
    sendNote(telling, atMs, "C1", "H02", {
      toRole: "vet",
      situation: "Tansy Fogg: weight check booked for Wednesday",
      mustDo: "Look at the new weight before the next pergolide is worked out",
    }),
  );
  say("2026-10-14", "06:40", "check of H16", (atMs) =>
    checkInYard(telling, atMs, "C3", "H16", {
      digitalPulses: { LF: "raised", RF: "raised" },
      notes: "Pulse up, both fronts.",
    }),
  );
  say("2026-10-14", "06:45", "question about H16", (atMs) =>
    sendNote(telling, atMs, "C3", "H16", {
      toRole: "farrier",
      urgent: true,
      situation: "Fiddle Mist: pulse up in both fronts, reset two days late",
      found: "Pulse up 06:40",
      mustDo: "Ask for the full five-sign check before you set off",
    }),
  );
  say("2026-10-14", "06:58", "note about H22", (atMs) =>
    sendNote(telling, atMs, "C4", "H22", {
      toRole: "vet",
      urgent: true,
      situation: "Bosun Reed: 4 of 12, was 3 yesterday; reset 13 days late",
      mustDo: "Ring me: he shifts his weight",
    }),
  );
};

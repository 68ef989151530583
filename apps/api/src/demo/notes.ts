import { acknowledgeNote } from "@heelward/contracts";
import { addDays } from "@heelward/domain/time";
import pg from "pg";
import * as handoffs from "../features/handoffs/service.ts";
import { STORY_DAY } from "./calendar.ts";
import type { Register, Telling } from "./story.ts";
import { carerOf, farrierOf, vetOf } from "./who.ts";

interface OpenNote {
  readonly id: string;
  readonly horse_id: string;
  readonly to_role: string;
  readonly ref_id: string | null;
}

/** Left open on purpose: the farrier has not looked at the newest plan of this horse. */
const UNREAD_PLAN = "H20-p3";

const readerOf = (note: OpenNote, register: Register): string => {
  const horse = [...register.horses].find(([, id]) => id === note.horse_id)?.[0] ?? "H01";
  switch (note.to_role) {
    case "vet":
      return vetOf(horse);
    case "farrier":
      return farrierOf(horse);
    case "carer":
      return carerOf(horse);
    default:
      return "M1";
  }
};

/** Every evening each reads the notes of the day; those of the last evening are still to be read. */
export const tellOfReading = (
  { calendar, perform, register, tell }: Telling,
  client: pg.Client,
): void => {
  for (let on = "2025-10-15"; on < addDays(STORY_DAY, -1); on = addDays(on, 1)) {
    const atMs = calendar.at(on, "21:30");
    tell(atMs, "evening round", async () => {
      const { rows } = await client.query<OpenNote>(
        "SELECT id, horse_id, to_role, ref_id FROM handoff_notes WHERE acknowledged_at IS NULL ORDER BY written_at, id",
      );
      const unread = register.plans.get(UNREAD_PLAN)?.id;
      for (const note of rows) {
        if (note.to_role === "owner" || (unread !== undefined && note.ref_id === unread)) continue;
        // One after the other: each takes its place in the audit chain.
        // oxlint-disable-next-line no-await-in-loop
        await perform(
          atMs,
          readerOf(note, register),
          acknowledgeNote,
          { params: { noteId: note.id }, body: {} },
          (work, { params, body }) => handoffs.acknowledge(work, params.noteId, 1, body.answer),
        );
      }
    });
  }
};

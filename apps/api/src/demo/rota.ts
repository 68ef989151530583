import { setWorkingWeek } from "@heelward/contracts";
import * as rota from "../features/rota/service.ts";
import { PEOPLE } from "./data/practice.ts";
import { known, type Telling } from "./story.ts";

/** When each farrier stops for the day; all begin at eight. */
const DAY_ENDS: Readonly<Record<string, string>> = { F1: "16:30", F2: "16:00", F3: "15:30" };
const WEEKDAYS = [1, 2, 3, 4, 5];
/** The newly qualified one trims and shoes; first fits and glue are done with another. */
const EXPERIENCED: readonly string[] = ["F1", "F2"];

/** The farriers' weeks, entered on the last evening, when the year's visits lie behind. */
export const tellOfWeeks = ({ calendar, perform, register, tell }: Telling): void => {
  const atMs = calendar.at("2026-10-13", "18:00");
  for (const { id, covers } of PEOPLE) {
    const ends = DAY_ENDS[id];
    if (ends === undefined) continue;
    tell(atMs, `week of ${id}`, async () => {
      await perform(
        atMs,
        "M1",
        setWorkingWeek,
        {
          params: { personId: known(register.people, id) },
          body: {
            hours: WEEKDAYS.map((weekday) => ({ weekday, starts: "08:00", ends })),
            lunch: { from: "12:00", until: "13:30", minutes: 30 },
            skills: EXPERIENCED.includes(id) ? ["glue-on", "complex first fit"] : [],
            yardIds: (covers ?? []).map((yard) => known(register.yards, yard)),
          },
        },
        (work, { params, body }) => rota.setWeek(work, params.personId, 1, body),
      );
    });
  }
};

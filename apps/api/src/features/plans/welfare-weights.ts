import type { Setting } from "@heelward/domain/evidence";

const weight = (key: string, value: number): Setting<number> => ({
  key: `plan-weight/${key}`,
  value,
  unit: "welfare weight of a day's lateness",
  source: {
    id: `house-plan-weight-${key}`,
    citation:
      "House rule: which horse waits when not all can be seen; the practice sets it, a vet overrules it",
    status: "house rule",
  },
  since: "2026-01-01",
  change: "free",
});
/** What a day's lateness of one horse counts against another's. */
export const WELFARE_WEIGHTS = {
  urgent: weight("urgent", 50),
  painUp: weight("pain-up", 20),
  red: weight("red", 10),
  acute: weight("acute", 8),
  subacute: weight("subacute", 5),
  "chronic active": weight("chronic-active", 3),
  maintenance: weight("maintenance", 2),
  sound: weight("sound", 1),
} as const;

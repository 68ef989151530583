/** Where a case stands. `closed` is for good: a new bout opens a new case. */
export const PHASES = ["acute", "subacute", "chronic active", "maintenance", "closed"] as const;
export type Phase = (typeof PHASES)[number];

/** What may follow each phase. A relapse may return to acute from anywhere but closed. */
export const NEXT_PHASES: Readonly<Record<Phase, readonly Phase[]>> = {
  acute: ["subacute", "chronic active", "maintenance", "closed"],
  subacute: ["acute", "chronic active", "maintenance", "closed"],
  "chronic active": ["acute", "maintenance", "closed"],
  maintenance: ["acute", "chronic active", "closed"],
  closed: [],
};

/** Welfare weight of a phase: smaller comes first where nothing else decides. */
export const phaseRank = (phase: Phase): number => PHASES.indexOf(phase);

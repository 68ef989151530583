/**
 * The catalogues: one file per namespace and language, loaded when a page asks for it. English is
 * complete and is what other languages fall back to. A new namespace is one line here.
 */
export interface Catalogue {
  readonly common: typeof import("./en/common.ts").common;
  readonly shell: typeof import("./en/shell.ts").shell;
  readonly session: typeof import("./en/session.ts").session;
  readonly glossary: typeof import("./en/glossary.ts").glossary;
  readonly components: typeof import("./en/components.ts").components;
  readonly cases: typeof import("./en/cases.ts").cases;
  readonly examinations: typeof import("./en/examinations.ts").examinations;
  readonly firstAid: typeof import("./en/firstAid.ts").firstAid;
  readonly handoffs: typeof import("./en/handoffs.ts").handoffs;
  readonly horses: typeof import("./en/horses.ts").horses;
  readonly yards: typeof import("./en/yards.ts").yards;
  readonly people: typeof import("./en/people.ts").people;
  readonly queues: typeof import("./en/queues.ts").queues;
  readonly resets: typeof import("./en/resets.ts").resets;
  readonly reminder: typeof import("./en/reminder.ts").reminder;
  readonly routes: typeof import("./en/routes.ts").routes;
  readonly planning: typeof import("./en/planning.ts").planning;
  readonly rota: typeof import("./en/rota.ts").rota;
  readonly calendar: typeof import("./en/calendar.ts").calendar;
  readonly radiographs: typeof import("./en/radiographs.ts").radiographs;
  readonly medication: typeof import("./en/medication.ts").medication;
  readonly care: typeof import("./en/care.ts").care;
  readonly monitoring: typeof import("./en/monitoring.ts").monitoring;
  readonly recovery: typeof import("./en/recovery.ts").recovery;
  readonly laboratory: typeof import("./en/laboratory.ts").laboratory;
  readonly portal: typeof import("./en/portal.ts").portal;
  readonly audit: typeof import("./en/audit.ts").audit;
  readonly settings: typeof import("./en/settings.ts").settings;
  readonly prescriptions: typeof import("./en/prescriptions.ts").prescriptions;
  readonly devices: typeof import("./en/devices.ts").devices;
  readonly procedures: typeof import("./en/procedures.ts").procedures;
  readonly sharing: typeof import("./en/sharing.ts").sharing;
  readonly offline: typeof import("./en/offline.ts").offline;
  readonly learning: typeof import("./en/learning.ts").learning;
  readonly comparing: typeof import("./en/comparing.ts").comparing;
  readonly watches: typeof import("./en/watches.ts").watches;
  readonly shoeing: typeof import("./en/shoeing.ts").shoeing;
  readonly morning: typeof import("./en/morning.ts").morning;
  readonly signing: typeof import("./en/signing.ts").signing;
  readonly outcomes: typeof import("./en/outcomes.ts").outcomes;
}

type SameKeys<T> = { readonly [K in keyof T]: T[K] extends string ? string : SameKeys<T[K]> };

/** A translation of a namespace: every key of the English one. */
export type Words<N extends keyof Catalogue> = SameKeys<Catalogue[N]>;

import type { Words } from "../catalogue.ts";

export const queues: Words<"queues"> = {
  title: "Ihre Liste",
  lead: "{{role}} · Stand {{time}}",
  filter: "Zeigen",
  all: "Alle",
  find: "In der Liste suchen",
  emptyTitle: "Nichts wartet auf Sie",
  emptyText:
    "Wenn ein Pferd, ein Plan oder eine Notiz Sie braucht, steht es hier, das Dringendste zuerst.",
  noMatch: "Nichts in der Liste passt.",
  clear: "Wieder alle zeigen",
  due: "bis {{when}}",
  openCase: "Fallakte",
  why: "Warum jetzt",
  groups: { now: "Jetzt", today: "Heute", soon: "Bald", later: "Später" },
  acknowledge: "Gelesen, handle danach",
  acknowledged: "Bestätigt",
  views: {
    title: "Gespeicherte Ansichten",
    save: "Diese Ansicht speichern",
    name: "Name",
    taken: "Eine Ansicht dieses Namens gibt es schon.",
    rename: "„{{name}}“ umbenennen",
    delete: "„{{name}}“ löschen",
  },
};

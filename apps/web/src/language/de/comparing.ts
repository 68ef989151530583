import type { Words } from "../catalogue.ts";

export const comparing: Words<"comparing"> = {
  title: "Ähnliche Pferde",
  of: "Ähnliche Pferde wie {{horse}}",
  lead: "Pferde der eigenen Praxis mit der gleichen Art von Ursache, deren Rotation und Senkung bei der ersten Aufnahme nahe an diesem lagen.",
  caution:
    "Das sind die eigenen Akten, kein Beleg und nie ein Urteil über dieses Pferd. Die Pferde wurden verschieden behandelt, wenige zufällig ausgewählt, und schwere Fälle können fehlen. Entscheiden Sie nach diesem Pferd und nach veröffentlichten Arbeiten.",
  here: "Dieses Pferd bei der ersten Aufnahme",
  cause: "Ursache",
  causes: {
    "insulin trouble or PPID": "Insulinstörung oder PPID",
    "illness elsewhere": "Krankheit an anderer Stelle",
    "load of the other leg": "Last des anderen Beins",
    "hard ground or trauma": "harter Boden oder Verletzung",
    steroid: "Kortison",
    other: "andere Ursache",
  },
  rotation: "Kapselrotation",
  founder: "Senkung",
  near: "Was als nah gilt",
  nearText:
    "Zusammen höchstens ein Schritt: {{degrees}}° Rotation, {{mm}} mm Senkung oder eine andere Art von Ursache sind je ein Schritt. Hausregel, schlechtester Huf, ein Fall je Pferd.",
  ended: "Wie es ausging",
  among_one: "{{count}} ähnliches Pferd",
  among_other: "{{count}} ähnliche Pferde",
  outcomes: {
    recovered: "Wieder beschwerdefrei und in gewöhnlicher Pflege",
    "welfare decision": "Eingeschläfert, Entscheidung zum Wohl des Tiers",
    died: "Gestorben",
    "moved away": "Weggezogen, Ausgang nicht bekannt",
    "still in treatment": "Noch in Behandlung",
  },
  ofAll: "{{count}} von {{all}}",
  few: "Weniger als {{least}} ähnliche Pferde",
  fewText: "So wenige sind Geschichten, keine Zahlen. Unter {{least}} wird nichts gezählt.",
  notYet: "Über dieses Pferd ist noch nicht genug bekannt",
  notYetText: "Tragen Sie zuerst die Ursache ein und vermessen Sie eine seitliche Aufnahme.",
};

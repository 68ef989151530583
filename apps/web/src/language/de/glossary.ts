import type { Words } from "../catalogue.ts";

export const glossary: Words<"glossary"> = {
  laminitis: {
    say: "Hufrehe",
    trade: "Laminitis; mit Hufbeinverlagerung, sobald sich der Knochen bewegt hat",
    meaning: "die Verbindung zwischen der Hufwand und dem Knochen darin versagt",
  },
  pedalBone: {
    say: "Hufbein",
    trade: "Phalanx distalis, P3",
    meaning: "der Knochen im Huf",
  },
  rotation: {
    say: "Rotation",
    trade: "kapsuläre Rotation",
    meaning: "Hufwand und Knochen laufen nicht mehr gleich",
  },
  phalangealRotation: {
    say: "nach vorn gebrochene Zehenachse",
    trade: "phalangeale Rotation",
    meaning: "der Knochen ist unter der Fessel gekippt",
  },
  sinking: {
    say: "Absinken",
    trade: "distale Verlagerung, Hufbeinsenkung",
    meaning: "der Knochen sinkt gerade nach unten",
  },
  founderDistance: {
    say: "Sinkabstand",
    trade: "Abstand vom Kronrand zum Strecksehnenfortsatz",
    meaning: "wie weit der Knochen unter den Kronrand gesunken ist",
  },
  palmarAngle: {
    say: "Palmarwinkel",
    trade: "Palmar- oder Plantarwinkel",
    meaning: "die Neigung der Unterseite des Knochens",
  },
  wallToBone: {
    say: "Wand-Knochen-Abstand",
    trade: "Horn-Lamellen-Zone",
    meaning: "die Dicke vor dem Knochen",
  },
  soleDepth: {
    say: "Sohlendicke",
    trade: "Sohlendicke unter der Hufbeinspitze",
    meaning: "Horn und Haut unter der Spitze des Knochens",
  },
  breakover: {
    say: "Abrollpunkt",
    trade: "Point of Breakover",
    meaning: "wo der Huf kippt, wenn er den Boden verlässt",
  },
  hairline: { say: "Kronrand", trade: "Kronsaum", meaning: "wo der Huf auf das Fell trifft" },
  newGrowth: {
    say: "Neuwuchslinie",
    trade: "Wachstumsebene",
    meaning: "wie weit die gute neue Wand heruntergewachsen ist",
  },
  heelRaise: {
    say: "Trachtenerhöhung",
    trade: "Keil",
    meaning: "eine Erhöhung unter den Trachten",
  },
  reset: {
    say: "Neubeschlag",
    trade: "Umbeschlag",
    meaning: "das Eisen kommt ab, der Huf wird ausgeschnitten, das Eisen kommt wieder drauf",
  },
  footPulse: {
    say: "Puls am Huf",
    trade: "Zehenpuls, digitaler Puls",
    meaning: "das Pochen, das man am Fesselkopf fühlt",
  },
  fiveSign: {
    say: "Fünf-Zeichen-Wert",
    trade: "abgewandelter Hufrehe-Score, 0–12",
    meaning: "Gewicht verlagern, Huf heben, Schritt, Wenden und Puls, zusammengezählt",
  },
  obel: {
    say: "Obel-Grad",
    trade: "Obel 0–4",
    meaning: "eine ältere Skala der Lahmheit in fünf Stufen",
  },
  painRelief: {
    say: "Schmerzmittel",
    trade: "NSAID",
    meaning: "ein Medikament, das Schmerz und Schwellung dämpft",
  },
  insulinTrouble: {
    say: "Insulinproblem",
    trade: "Insulindysregulation",
    meaning: "der Körper antwortet auf Zucker mit zu viel Insulin",
  },
  ppid: {
    say: "PPID",
    trade: "Dysfunktion der Pars intermedia der Hypophyse",
    meaning: "eine Drüsenkrankheit älterer Pferde",
  },
  supportLimb: {
    say: "Stützbein",
    trade: "kontralaterale Gliedmaße",
    meaning: "das gute Bein, das die ganze Arbeit tut",
  },
  boxRest: {
    say: "Boxenruhe",
    trade: "Boxenruhe",
    meaning: "das Pferd bleibt auf tiefer Einstreu in der Box",
  },
  nerveBlock: {
    say: "Nervenblockade",
    trade: "Leitungsanästhesie",
    meaning: "macht den Huf gefühllos; nur durch einen Tierarzt",
  },
  latestSafeDay: {
    say: "letzter sicherer Tag",
    trade: "Grenztag der Vorhersage",
    meaning: "der Tag, an dem der schnelle Rand der Vorhersage die Grenze trifft",
  },
  realChange: {
    say: "echte Veränderung",
    trade: "über dem Messfehler",
    meaning: "größer, als zwei Ablesungen desselben Hufs durch Zufall auseinanderliegen können",
  },
  bodyCondition: {
    say: "Körperkondition",
    trade: "Body Condition Score, 1–9",
    meaning: "wie viel Fett Rippen und Rücken bedeckt",
  },
  crestyNeck: {
    say: "Speckhals",
    trade: "Cresty Neck Score, 0–5",
    meaning: "wie viel Fett oben am Hals sitzt",
  },
  setBack: {
    say: "zurückgesetzt",
    trade: "zurückgesetzt",
    meaning: "der Abrollpunkt rückt näher an die Spitze des Knochens",
  },
  asDone: {
    say: "wie ausgeführt",
    trade: "Ausführungsblatt",
    meaning: "was am Huf wirklich gemacht wurde",
  },
  barePads: {
    say: "barhuf mit Polstern",
    trade: "barhuf mit Polstern",
    meaning: "kein Eisen, weiche Polster",
  },
  clog: { say: "Holzschuh", trade: "Clog", meaning: "ein wippender Holzblock, angeschraubt" },
  heartBar: {
    say: "Herzstegeisen",
    trade: "Herzsteg-Hufeisen",
    meaning: "ein Eisen mit einem Steg, der auf den Strahl drückt",
  },
  noClearChange: {
    say: "nicht klar verschieden",
    trade: "innerhalb des Messfehlers",
    meaning: "so weit können zwei Ablesungen desselben Hufs durch Zufall auseinanderliegen",
  },
  putToSleep: {
    say: "eingeschläfert",
    trade: "Euthanasie",
    meaning: "ein sanftes Ende durch den Tierarzt",
  },
};

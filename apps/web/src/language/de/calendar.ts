import type { Words } from "../catalogue.ts";

export const calendar: Words<"calendar"> = {
  title: "Ihr Kalender",
  lead: "Ihre Besuche und Termine im Kalenderprogramm, das Sie ohnehin benutzen. Er folgt von selbst, wenn ein Besuch rückt.",
  make: "Adresse anlegen",
  label: "Wofür sie ist",
  labelHint: "Etwa Telefon oder Tablet in der Küche, damit Sie sie wiedererkennen.",
  labelDefault: "Mein Telefon",
  shownOnce: "Kopieren Sie sie jetzt: Sie wird nur dieses eine Mal gezeigt und nicht aufbewahrt.",
  how: "Wählen Sie im Kalenderprogramm, einen Kalender über seine Adresse zu abonnieren, und fügen Sie sie dort ein.",
  address: "Kalenderadresse",
  copy: "Adresse kopieren",
  copied: "Kopiert",
  done: "Fertig",
  caution:
    "Wer die Adresse hat, kann diese Termine lesen. Ist sie in andere Hände geraten, widerrufen Sie sie.",
  none: "Noch keine Adresse",
  made: "angelegt {{when}}",
  lastRead: "zuletzt gelesen {{when}}",
  neverRead: "noch nicht gelesen",
  revoke: "Widerrufen",
  revokeOf: "{{label}} widerrufen",
  revoked: "Widerrufen",
  list: "Adressen",
};

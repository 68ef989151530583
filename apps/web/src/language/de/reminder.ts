import type { Words } from "../catalogue.ts";

export const reminder: Words<"reminder"> = {
  title: "Der Besuch des Hufschmieds bei {{horse}}",
  from: "Eine Frage von {{practice}}",
  when: "Wann",
  where: "Wo",
  atYard: "{{time}}, Ortszeit am Stall",
  askDate: "Passt Ihnen das?",
  noDate: "Noch ist kein Tag ausgemacht",
  noDateText: "Die Hufe von {{horse}} sind fällig.",
  askOpen: "Dürfen wir einen Besuch eintragen?",
  yesDate: "Ja, das passt",
  noToDate: "Nein, ich brauche einen anderen Tag",
  yesOpen: "Ja, bitte eintragen",
  noToOpen: "Nein, jetzt nicht",
  "call me": "Bitte rufen Sie mich an",
  sendHint:
    "Ein Tippen sendet Ihre Antwort. Sie können einmal antworten; danach rufen Sie uns bitte an.",
  addWords: "Zuerst ein paar Worte dazu",
  words: "Was wir wissen sollten",
  wordsHint:
    "Zum Beispiel, wer das Pferd hält oder welche Tage passen. Geht mit Ihrer Antwort mit.",
  sending: "Ihre Antwort wird gesendet…",
  ring: "{{practice}} anrufen",
  ringInstead: "Möchten Sie lieber sprechen?",
  thanks: "Danke",
  said: "Ihre Antwort:",
  after: {
    yesDate: "Es ist notiert. Wir freuen uns auf {{horse}}.",
    yesOpen: "Es ist notiert. {{practice}} sagt Ihnen den Tag.",
    no: "{{practice}} ruft Sie an, um etwas Passendes zu finden.",
    "call me": "{{practice}} ruft Sie an.",
  },
  past: "Der Tag, zu dem Sie geantwortet haben, wurde verschoben oder ist vorbei. Die Praxis meldet den nächsten.",
  changed:
    "Hat sich etwas geändert, oder war es ein Versehen? Rufen Sie uns an; diese Seite können Sie jetzt schließen.",
  changedNoPhone:
    "Hat sich etwas geändert, oder war es ein Versehen? Rufen Sie die Praxis an; diese Seite können Sie jetzt schließen.",
  closed: "Dieser Link ist beantwortet oder abgelaufen",
  closedText:
    "Haben Sie oder jemand anderes geantwortet, dann haben wir es und Sie brauchen nichts mehr zu tun. Wenn nicht, wurde der Tag vielleicht verschoben, oder der Link ist abgelaufen.",
  closedRing: "Unsicher, oder hat sich etwas geändert? Rufen Sie uns an.",
  closedLetter:
    "Unsicher, oder hat sich etwas geändert? Rufen Sie die Praxis an: die Nummer steht am Ende des Briefes.",
  closedWhole:
    "Ist der Link in Ihrer Mail abgeschnitten? Dann öffnen Sie ihn noch einmal aus dem Brief.",
  notOpened: "Die Frage ließ sich nicht öffnen",
  notOpenedText:
    "Prüfen Sie den Empfang und versuchen Sie es noch einmal. Geht es weiter nicht, rufen Sie die Praxis an: die Nummer steht am Ende des Briefes.",
  notSent: "Wir wissen nicht, ob Ihre Antwort angekommen ist",
  notSentText:
    "Prüfen Sie den Empfang und tippen Sie Ihre Antwort noch einmal an. Geht es weiter nicht, rufen Sie uns an.",
  urgent:
    "Lahmt das Pferd stärker, will es nicht gehen oder liegt es mehr als sonst? Warten Sie nicht auf einen Besuch: rufen Sie sofort den Tierarzt an.",
};

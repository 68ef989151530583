import type { Words } from "../catalogue.ts";

export const session: Words<"session"> = {
  signIn: "Anmelden",
  signInLead: "Eine Akte für Tierarzt, Hufschmied, Stall und Besitzer.",
  email: "E-Mail",
  password: "Passwort",
  noAccount: "Kein Konto? Die Praxisleitung kann Sie einladen.",
  emergency:
    "Geht es einem Pferd gerade schlecht? Rufen Sie zuerst den Tierarzt. Führen Sie das Pferd nicht.",
  sessionOver: "Sie wurden abgemeldet. Melden Sie sich an, um weiterzumachen.",
  acceptTitle: "Willkommen bei Heelward",
  acceptLead: "Wählen Sie ein Passwort, um die Einladung anzunehmen.",
  newPassword: "Neues Passwort",
  passwordHint: "Mindestens 12 Zeichen. Ein paar einfache Wörter hintereinander sind gut.",
  repeat: "Noch einmal dasselbe",
  mismatch: "Die beiden stimmen nicht überein.",
  tooShort: "Mindestens 12 Zeichen.",
  accept: "Einladung annehmen",
  accepted: "Fertig, {{name}}. Melden Sie sich mit dem neuen Passwort an.",
  devices: "Wo Sie angemeldet sind",
  devicesLead: "Beenden Sie jede Sitzung, die Sie nicht kennen.",
  thisOne: "Dieses Gerät",
  lastUsed: "Zuletzt benutzt {{when}}",
  since: "Angemeldet {{when}}",
  end: "Diese Sitzung beenden",
  unknownDevice: "Unbekanntes Gerät",
};

import type { Words } from "../catalogue.ts";

export const components: Words<"components"> = {
  title: "Bausteine",
  lead: "Jedes Teil, aus dem die Seiten gebaut sind, in allen Zuständen. Für Entwickler; ohne Patientendaten.",
  colours: "Farben der Zustände",
  type: "Schrift",
  buttons: "Knöpfe",
  badges: "Marken und Schildchen",
  findings: "Befunde",
  measures: "Maße und Begriffe",
  fields: "Felder",
  feet: "Hufe",
  charts: "Diagramm",
  states: "Zustände",
  timeline: "Verlauf",
  tabs: "Reiter",
  dialog: "Dialog",
  openDialog: "Dialog öffnen",
};

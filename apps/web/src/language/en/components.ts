/** The developers' page of components. */
export const components = {
  title: "Components",
  lead: "Every part the pages are made of, in all its states. For developers; it shows no patient data.",
  colours: "Colours of state",
  type: "Type",
  buttons: "Buttons",
  badges: "Badges and pills",
  findings: "Findings",
  measures: "Measures and terms",
  fields: "Fields",
  feet: "Feet",
  charts: "Chart",
  states: "States",
  timeline: "Timeline",
  tabs: "Tabs",
  dialog: "Dialog",
  openDialog: "Open a dialog",
};

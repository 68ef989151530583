/** The page behind the link of a reminder letter: one question, three answers, no sign-in. */
export const reminder = {
  title: "The farrier's visit for {{horse}}",
  from: "A question from {{practice}}",
  when: "When",
  where: "Where",
  atYard: "{{time}}, time at the yard",
  askDate: "Does that suit you?",
  noDate: "No day is set yet",
  noDateText: "{{horse}}'s feet are due.",
  askOpen: "May we book a visit?",
  yesDate: "Yes, that suits",
  noToDate: "No, I need another day",
  yesOpen: "Yes, please book a visit",
  noToOpen: "No, not now",
  "call me": "Please ring me",
  sendHint: "One tap sends your answer. You can answer once; after that, ring us.",
  addWords: "Add a few words first",
  words: "Anything we should know",
  wordsHint: "For example who holds the horse, or which days suit. Sent with your answer.",
  sending: "Sending your answer…",
  ring: "Ring {{practice}}",
  ringInstead: "Would you rather talk?",
  thanks: "Thank you",
  said: "Your answer:",
  after: {
    yesDate: "It is noted. We look forward to seeing {{horse}}.",
    yesOpen: "It is noted. {{practice}} will let you know the day.",
    no: "{{practice}} will ring you about what suits better.",
    "call me": "{{practice}} will ring you.",
  },
  changed: "Something has changed, or it was a slip? Ring us; you may close this page now.",
  changedNoPhone:
    "Something has changed, or it was a slip? Ring the practice; you may close this page now.",
  closed: "This link is answered or out of date",
  closedText:
    "If you or someone else has answered, we have it and there is nothing more to do. If not, the day may have moved, or the link has run out.",
  closedRing: "Not sure, or something has changed? Ring us.",
  closedLetter:
    "Not sure, or something has changed? Ring the practice: the number is at the end of the letter.",
  closedWhole: "Is the link cut off in your mail? Then open it from the letter again.",
  notOpened: "The question could not be opened",
  notOpenedText:
    "Check the signal and try again. If it still does not open, ring the practice: the number is at the end of the letter.",
  notSent: "We cannot tell whether your answer arrived",
  notSentText: "Check the signal and tap your answer again. If it still does not go, ring us.",
  urgent:
    "Is the horse lamer, does it not want to move, or does it lie down more than usual? Do not wait for a visit: ring the vet now.",
};

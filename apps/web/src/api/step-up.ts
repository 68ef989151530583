type Ask = () => Promise<boolean>;

let ask: Ask | undefined;

/** The dialog that asks for the password registers itself here; returns how to unregister. */
export const onStepUp = (dialog: Ask): (() => void) => {
  ask = dialog;
  return () => {
    if (ask === dialog) ask = undefined;
  };
};

/** Asks the person to enter the password again. False when they turned back. */
export const stepUp: Ask = () => ask?.() ?? Promise.resolve(false);

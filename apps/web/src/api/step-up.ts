/** Why the password is asked: something is to be signed, or the session ended while a page was open. */
export type StepUpReason = "signing" | "session over";
type Ask = (reason: StepUpReason) => Promise<boolean>;

let ask: Ask | undefined;
let asking: Promise<boolean> | undefined;

/** The dialog that asks for the password registers itself here; returns how to unregister. */
export const onStepUp = (dialog: Ask): (() => void) => {
  ask = dialog;
  return () => {
    if (ask === dialog) ask = undefined;
  };
};

/**
 * Asks the person to enter the password again, once for all requests that wait for it. False when
 * they turned back, and where nobody is signed in on the page.
 */
export const stepUp: Ask = (reason) => {
  asking ??= (ask?.(reason) ?? Promise.resolve(false)).finally(() => {
    asking = undefined;
  });
  return asking;
};

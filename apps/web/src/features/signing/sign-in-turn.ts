/** One signature to be made; `send` writes through the operation of that one draft. */
export interface ToSign {
  readonly key: string;
  readonly what: string;
  readonly horse: string;
  readonly send: () => Promise<unknown>;
}

/** What came of one. `error` is what the service said; none when it was not tried. */
export interface Outcome {
  readonly key: string;
  readonly what: string;
  readonly horse: string;
  readonly state: "signed" | "failed" | "not tried";
  readonly error?: Error;
}

/**
 * Signs one after the other, each a request and a sealed record of its own, so that one that is
 * refused neither signs silently nor holds the others up. Whoever turns back at the password ends it:
 * the rest is not tried, and said so.
 */
export const signInTurn = async (
  items: readonly ToSign[],
  turnedBack: (error: Error) => boolean,
  onProgress: (done: number) => void,
): Promise<readonly Outcome[]> => {
  const outcomes: Outcome[] = [];
  let isOver = false;
  for (const { send, ...about } of items) {
    if (isOver) {
      outcomes.push({ ...about, state: "not tried" });
      continue;
    }
    try {
      // oxlint-disable-next-line no-await-in-loop -- the password is asked once, before the first
      await send();
      outcomes.push({ ...about, state: "signed" });
    } catch (thrown) {
      const error = thrown instanceof Error ? thrown : new Error(String(thrown));
      isOver = turnedBack(error);
      outcomes.push(
        isOver ? { ...about, state: "not tried" } : { ...about, state: "failed", error },
      );
    }
    onProgress(outcomes.length);
  }
  return outcomes;
};

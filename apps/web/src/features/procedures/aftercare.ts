/** A line of aftercare and the day after the procedure on which it is due. */
export interface AftercareLine {
  readonly line: string;
  readonly day: number;
}

const MOST_LINES = 10;

/** Lines as a vet types them: "3: change the bandage" is due on day 3, a line without a day on day 1. */
export const aftercareOf = (text: string): readonly AftercareLine[] =>
  text
    .split("\n")
    .flatMap((typed) => {
      const match = /^\s*(?:(\d{1,2})\s*:)?\s*(.+?)\s*$/u.exec(typed);
      const line = match?.[2];
      return line === undefined
        ? []
        : [{ line: line.slice(0, 200), day: Math.min(90, Number(match?.[1] ?? 1)) }];
    })
    .slice(0, MOST_LINES);

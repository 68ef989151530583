const EMAIL = /[\p{L}\d._%+-]+@[\p{L}\d.-]+\.\p{L}{2,}/gu;
/** Seven digits or more with the signs people write between them. Numbers of chips have no signs and stay. */
const PHONE = /(?<![\w.,-])(?:\+|0)\d[\d ()/-]{6,}\d(?![\w-])/gu;
/** Shorter parts of a name are words of their own. */
const SHORTEST_PART = 3;

const escaped = (text: string): string => text.replaceAll(/[.*+?^${}()|[\]\\]/gu, String.raw`\$&`);

/** Puts "the owner" where the owners' names stand, whole or in part. */
export const withoutNames =
  (names: readonly string[]) =>
  (text: string): string =>
    names
      .flatMap((name) => [name, ...name.split(/\s+/u)])
      .filter((part) => part.length >= SHORTEST_PART)
      .toSorted((a, b) => b.length - a.length)
      .reduce(
        (before, part) =>
          before.replaceAll(
            new RegExp(String.raw`(?<![\p{L}\d])${escaped(part)}(?![\p{L}\d])`, "giu"),
            "the owner",
          ),
        text,
      );

/** As `withoutNames`, and without e-mail addresses and telephone numbers: for free text. */
export const withoutOwner = (names: readonly string[]) => {
  const leaveOut = withoutNames(names);
  return (text: string): string =>
    leaveOut(text.replaceAll(EMAIL, "[e-mail left out]").replaceAll(PHONE, "[number left out]"));
};

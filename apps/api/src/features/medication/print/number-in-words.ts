const ONES = [
  "zero",
  "one",
  "two",
  "three",
  "four",
  "five",
  "six",
  "seven",
  "eight",
  "nine",
  "ten",
  "eleven",
  "twelve",
  "thirteen",
  "fourteen",
  "fifteen",
  "sixteen",
  "seventeen",
  "eighteen",
  "nineteen",
] as const;
const TENS = [
  "",
  "",
  "twenty",
  "thirty",
  "forty",
  "fifty",
  "sixty",
  "seventy",
  "eighty",
  "ninety",
] as const;

const whole = (value: number): string => {
  if (value < 20) return ONES[value] ?? "";
  if (value < 100) {
    const rest = value % 10;
    return `${TENS[Math.floor(value / 10)] ?? ""}${rest === 0 ? "" : `-${ONES[rest] ?? ""}`}`;
  }
  if (value < 1000) {
    const rest = value % 100;
    return `${ONES[Math.floor(value / 100)] ?? ""} hundred${rest === 0 ? "" : ` and ${whole(rest)}`}`;
  }
  const rest = value % 1000;
  return `${whole(Math.floor(value / 1000))} thousand${
    rest === 0 ? "" : rest < 100 ? ` and ${whole(rest)}` : ` ${whole(rest)}`
  }`;
};

/**
 * A quantity in British words, as a controlled-drug prescription writes it beside the figures: up to
 * 999,999 with up to three decimals, which are read digit by digit.
 *
 * @throws RangeError for a negative number or one too large.
 */
export const numberInWords = (value: number): string => {
  if (!(value >= 0 && value < 1_000_000)) throw new RangeError(`not a quantity: ${value}`);
  const [before = "0", after = ""] = String(Math.round(value * 1000) / 1000).split(".");
  const decimals = Array.from(after, (digit) => ONES[Number(digit)] ?? "").join(" ");
  return decimals === "" ? whole(Number(before)) : `${whole(Number(before))} point ${decimals}`;
};

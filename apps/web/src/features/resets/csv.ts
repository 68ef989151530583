/**
 * Characters with which a spreadsheet starts a formula; a quote before them keeps the cell text.
 * Source: OWASP, CSV Injection.
 */
const STARTS_FORMULA = /^[=+\-@\t\r＝＋－＠]/;
const PLAIN_NUMBER = /^-?\d+(\.\d+)?$/;

/** One cell of a comma-separated file that no spreadsheet can take for a formula. */
export const csvCell = (value: string | number | null): string => {
  if (value === null) return "";
  const text = String(value);
  const inert = STARTS_FORMULA.test(text) && !PLAIN_NUMBER.test(text) ? `'${text}` : text;
  return /[",\r\n;]/.test(inert) ? `"${inert.replaceAll('"', '""')}"` : inert;
};

/** A comma-separated file (RFC 4180): header line, then rows, lines ended by CR LF. */
export const csvFile = (
  head: readonly string[],
  rows: readonly (readonly (string | number | null)[])[],
): string =>
  [head, ...rows].map((row) => `${row.map((cell) => csvCell(cell)).join(",")}\r\n`).join("");

/** Hands text to the browser as a file to save. */
export const saveText = (fileName: string, mediaType: string, text: string): void => {
  // The byte order mark lets spreadsheets read the accents right.
  const url = URL.createObjectURL(new Blob([`\uFEFF${text}`], { type: mediaType }));
  const link = document.createElement("a");
  link.href = url;
  link.download = fileName;
  link.click();
  URL.revokeObjectURL(url);
};

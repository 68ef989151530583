import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { csvCell, csvFile } from "./csv.ts";

// Source: OWASP, CSV Injection: cells that begin with = + - @ tab or carriage return.
describe("a saved list of resets", () => {
  it("cannot start a formula, because a spreadsheet would run a horse's name", () => {
    for (const cell of ["=1+1", "+44 1", "-cmd", "@sum", "\t=1", "\r=1", "＝1"])
      expect(csvCell(cell).replace(/^"/, "").startsWith("'")).toBe(true);
  });

  it("leaves plain figures as figures, because days before the due day are negative", () => {
    expect(csvCell(-7)).toBe("-7");
    expect(csvCell("-7.5")).toBe("-7.5");
    expect(csvCell("-7+1")).toBe("'-7+1");
  });

  // Source: RFC 4180, 2.5-2.7.
  it("quotes commas, quotes and line breaks and doubles the quote", () => {
    expect(
      csvFile(
        ["a", "b"],
        [
          ['say "whoa"', "x,y"],
          [null, "1\n2"],
        ],
      ),
    ).toBe('a,b\r\n"say ""whoa""","x,y"\r\n,"1\n2"\r\n');
  });

  it("never lets any text begin with a formula sign", () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const cell = csvCell(text).replace(/^"/, "");
        expect(/^[=+@\t\r]/.test(cell)).toBe(false);
        expect(cell.startsWith("-") && !/^-\d+(\.\d+)?$/.test(cell)).toBe(false);
      }),
    );
  });
});

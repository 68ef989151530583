import PDFDocument from "pdfkit";
import { BOLD, REGULAR } from "./fonts.ts";

/** A page being written. */
export type Page = InstanceType<typeof PDFDocument>;
/** A part of the document's structure, for screen readers. */
export type Element = ReturnType<Page["struct"]>;

export interface OpenDocument {
  readonly page: Page;
  /** The element that all content belongs to. */
  readonly root: Element;
  /** Ends the document and gives its bytes. */
  readonly finish: () => Promise<Uint8Array>;
}

/** A tagged document with embedded fonts, `regular` and `bold`, for people and for screen readers. */
export const openDocument = (about: {
  readonly title: string;
  readonly author: string;
  readonly madeAtMs: number;
  readonly marginPt: number;
  readonly paper?: "A4" | "Letter";
}): OpenDocument => {
  const page = new PDFDocument({
    size: about.paper === "Letter" ? "LETTER" : "A4",
    margin: about.marginPt,
    tagged: true,
    displayTitle: true,
    lang: "en-GB",
    pdfVersion: "1.7",
    info: {
      Title: about.title,
      Author: about.author,
      Creator: "Heelward",
      CreationDate: new Date(about.madeAtMs),
    },
  });
  const done = new Promise<Uint8Array>((resolve, reject) => {
    const chunks: Buffer[] = [];
    page.on("data", (chunk: Buffer) => chunks.push(chunk));
    page.on("end", () => resolve(new Uint8Array(Buffer.concat(chunks))));
    page.on("error", reject);
  });
  page.registerFont("regular", REGULAR.bytes);
  page.registerFont("bold", BOLD.bytes);
  const root = page.struct("Document");
  page.addStructure(root);
  return {
    page,
    root,
    finish: () => {
      root.end();
      page.end();
      return done;
    },
  };
};

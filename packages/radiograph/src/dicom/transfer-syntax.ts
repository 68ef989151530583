/** How the pixels of a file are packed. */
export type PixelPacking =
  | "native-little"
  | "native-big"
  | "rle"
  | "jpeg-baseline"
  | "jpeg-lossless"
  | "jpeg-ls"
  | "jpeg-2000";

export const implicitTransferSyntax = "1.2.840.10008.1.2";
export const bigEndianTransferSyntax = "1.2.840.10008.1.2.2";

/** source: DICOM PS3.5 §10 and annex A; PS3.6 annex A for the identifiers. */
export const packingOfTransferSyntax: Readonly<Record<string, PixelPacking>> = {
  [implicitTransferSyntax]: "native-little",
  "1.2.840.10008.1.2.1": "native-little",
  [bigEndianTransferSyntax]: "native-big",
  "1.2.840.10008.1.2.5": "rle",
  "1.2.840.10008.1.2.4.50": "jpeg-baseline",
  "1.2.840.10008.1.2.4.57": "jpeg-lossless",
  "1.2.840.10008.1.2.4.70": "jpeg-lossless",
  "1.2.840.10008.1.2.4.80": "jpeg-ls",
  "1.2.840.10008.1.2.4.81": "jpeg-ls",
  "1.2.840.10008.1.2.4.90": "jpeg-2000",
  "1.2.840.10008.1.2.4.91": "jpeg-2000",
};

/** Syntaxes that are known and refused, with what to ask the sender for. */
export const refusedTransferSyntaxes: Readonly<Record<string, string>> = {
  "1.2.840.10008.1.2.4.51":
    "The film is packed as 12-bit lossy JPEG, which cannot be unpacked faithfully here. Ask for it uncompressed or as JPEG lossless.",
  "1.2.840.10008.1.2.1.99":
    "The file is deflated as a whole, which film senders do not use. Ask for it uncompressed.",
};

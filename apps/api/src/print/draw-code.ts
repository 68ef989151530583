import QRCode from "qrcode";
import type { Page } from "./open-document.ts";

/** Draws a QR code as squares, so that it stays sharp at any size. */
export const drawCode = (
  page: Page,
  url: string,
  place: { readonly left: number; readonly top: number; readonly side: number },
): void => {
  const { modules } = QRCode.create(url, { errorCorrectionLevel: "M" });
  const step = place.side / modules.size;
  page.fillColor("#000000");
  for (let row = 0; row < modules.size; row += 1)
    for (let column = 0; column < modules.size; column += 1)
      if (modules.get(row, column) === 1)
        page.rect(place.left + column * step, place.top + row * step, step, step).fill();
};

import type { Bytes } from "../../../http/route.ts";
import type { Work } from "../../../http/work.ts";
import { annotatedPicture } from "./annotated-picture.ts";
import { filmPage } from "./film-page.ts";
import { readSheet, readStoredFilm } from "./film-sheet.ts";

export const annotated = async (work: Work, radiographId: string): Promise<Bytes> => {
  const sheet = await readSheet(work, radiographId);
  return {
    bytes: await annotatedPicture(sheet, await readStoredFilm(work, radiographId)),
    mediaType: "image/png",
    isMade: true,
  };
};

export const report = async (work: Work, radiographId: string): Promise<Bytes> => {
  const sheet = await readSheet(work, radiographId);
  return {
    bytes: await filmPage(sheet, await readStoredFilm(work, radiographId), work.nowMs),
    mediaType: "application/pdf",
    isMade: true,
    fileName: `film-${sheet.film.foot}-${sheet.film.takenAt.slice(0, 10)}.pdf`,
  };
};

import { writeDicom, type WriteDicomTags } from "@heelward/radiograph/dicom";
import {
  frontPhantomFromMeasures,
  phantomFromMeasures,
  type DorsopalmarMeasures,
  type LateromedialMeasures,
} from "@heelward/radiograph/phantom";

/** Smaller than a plate, with the same field of view as the phantom's own default. */
const RENDER = { widthPx: 900, heightPx: 750, detectorPitchMm: 0.2267 } as const;

/** What a film is to measure and what stands in its header. */
export interface FilmOrder {
  readonly subject:
    | { readonly view: "lateromedial"; readonly measures: LateromedialMeasures }
    | { readonly view: "dorsopalmar"; readonly measures: DorsopalmarMeasures };
  readonly seed: number;
  readonly tags: WriteDicomTags;
}

/** A film as a 16-bit DICOM file, and where its landmarks truly lie. */
export interface DrawnFilm {
  readonly bytes: Uint8Array;
  readonly landmarksPx: Readonly<Record<string, { readonly x: number; readonly y: number }>>;
  readonly mmPerPx: number;
}

/** Draws one synthetic film. */
export const drawFilm = ({ subject, seed, tags }: FilmOrder): DrawnFilm => {
  const render = { ...RENDER, seed };
  const { film, landmarksPx, mmPerPx } =
    subject.view === "lateromedial"
      ? phantomFromMeasures(subject.measures, { render })
      : frontPhantomFromMeasures(subject.measures, { render });
  return { bytes: writeDicom(film, tags), landmarksPx, mmPerPx };
};

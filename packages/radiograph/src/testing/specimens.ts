import { writeDicom } from "../dicom/write-dicom.ts";
import { filmAsPng16, renderFilm } from "../raster/render-film.ts";
import { smallFilm, sampleTags } from "./films.ts";
import { encoders, run, type Scratch } from "./outside-tools.ts";

/** One small honest file of every kind that is read, to be damaged in many ways. */
export const specimens = async (folder: Scratch): Promise<ReadonlyMap<string, Uint8Array>> => {
  const film = smallFilm({ widthPx: 60, heightPx: 50, detectorPitchMm: 3.4 });
  const source = folder.write("source.dcm", writeDicom(film, sampleTags));
  const files = new Map<string, Uint8Array>();
  for (const { name, program, options } of encoders) {
    run(program, [...options, source, folder.path("specimen.dcm")]);
    files.set(name, folder.read("specimen.dcm"));
  }
  files.set("PNG, 16 bit", await filmAsPng16(film));
  files.set("PNG, 8 bit", await renderFilm(film, { format: "png" }));
  files.set("JPEG", await renderFilm(film, { format: "jpeg" }));
  return files;
};

import type { RadiographView } from "@heelward/contracts";
import type { Film, FilmWindow } from "@heelward/radiograph/film";
import { useQuery } from "@tanstack/react-query";
import { call } from "../../../api/client.ts";

/** What the film record keeps of the file beside its grey values. */
type About = Partial<Omit<Film, "pixels">>;

/**
 * A film with its 16-bit grey values. They never change, so they are read once and kept while a page
 * shows them.
 */
export const useFilm = (radiograph: RadiographView) =>
  useQuery({
    queryKey: ["film-pixels", radiograph.sha256],
    staleTime: "static",
    gcTime: 60_000,
    queryFn: async ({ signal }): Promise<Film> => {
      const bytes = (await call(
        "readFilmPixels",
        { params: { radiographId: radiograph.id } },
        { signal },
      )) as ArrayBuffer;
      const about = radiograph.film as About | null;
      return {
        source: about?.source ?? "dicom",
        widthPx: radiograph.widthPx,
        heightPx: radiograph.heightPx,
        bitsStored: radiograph.bitsStored,
        // The service writes little-endian, as every browser's machine reads.
        pixels: new Uint16Array(bytes),
        ...(about?.window === undefined ? {} : { window: about.window as FilmWindow }),
        tags: about?.tags ?? {},
      };
    },
  });

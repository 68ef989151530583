import { parentPort } from "node:worker_threads";
import { drawFilm, type FilmOrder } from "./draw-film.ts";

// A thread that draws films one after the other, so that the service's own thread stays free.
parentPort?.on(
  "message",
  ({ index, order }: { readonly index: number; readonly order: FilmOrder }) => {
    const drawn = drawFilm(order);
    parentPort?.postMessage({ index, drawn }, [drawn.bytes.buffer as ArrayBuffer]);
  },
);

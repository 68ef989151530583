import { Worker } from "node:worker_threads";
import type { DrawnFilm, FilmOrder } from "./draw-film.ts";

/** Draws films in a thread of its own, in the order in which they are asked for. */
export interface DrawingBoard {
  readonly draw: (order: FilmOrder) => Promise<DrawnFilm>;
  readonly close: () => Promise<void>;
}

interface Waiting {
  readonly resolve: (drawn: DrawnFilm) => void;
  readonly reject: (error: unknown) => void;
}

// Sources run from `.ts` and find the packages' sources; the build runs from `.js`.
const isSource = import.meta.url.endsWith(".ts");
const workerUrl = new URL(`./draw-worker${isSource ? ".ts" : ".js"}`, import.meta.url);

export const openDrawingBoard = (): DrawingBoard => {
  const worker = new Worker(workerUrl, {
    execArgv: isSource ? ["--conditions=development"] : [],
    env: {},
  });
  const waiting = new Map<number, Waiting>();
  let asked = 0;
  const fail = (error: unknown): void => {
    for (const one of waiting.values()) one.reject(error);
    waiting.clear();
  };
  worker.on(
    "message",
    ({ index, drawn }: { readonly index: number; readonly drawn: DrawnFilm }) => {
      waiting.get(index)?.resolve(drawn);
      waiting.delete(index);
    },
  );
  worker.on("error", fail);
  worker.on("exit", () => fail(new Error("the drawing thread ended early")));
  return {
    draw: (order) =>
      new Promise<DrawnFilm>((resolve, reject) => {
        const index = asked;
        asked += 1;
        waiting.set(index, { resolve, reject });
        worker.postMessage({ index, order });
      }),
    close: async () => {
      await worker.terminate();
    },
  };
};

export { defaultWorkerLimits, readFilmInWorker, type WorkerLimits } from "./read-film-in-worker.ts";

export { readFilm } from "./read-film.ts";

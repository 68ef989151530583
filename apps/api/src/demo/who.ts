import { HORSES } from "./data/horses.ts";
import { OWNERS, PEOPLE } from "./data/practice.ts";

/** The carer of a horse's yard. */
export const carerOf = (horse: string): string => {
  const yard = HORSES.find((one) => one.id === horse)?.yard;
  return PEOPLE.find((person) => person.yard === yard)?.id ?? "C1";
};

/** The vet who leads the case of a horse, takes its films and reads its results. */
export const vetOf = (horse: string): "V1" | "V2" =>
  ["H01", "H07", "H13", "H14", "H22"].includes(horse) ? "V1" : "V2";

/** The farrier of a horse. */
export const farrierOf = (horse: string): string =>
  HORSES.find((one) => one.id === horse)?.farrier ?? "F1";

/** Who owns a horse, by name. */
export const ownerOf = (horse: string): string =>
  OWNERS.find((owner) => owner.horses.includes(horse))?.name ?? "The owner";

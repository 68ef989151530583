/** What kind of animal: rules on weight, bedding and medicines differ. Set by the vet, not guessed from height. */
export const ANIMAL_TYPES = ["horse", "pony", "donkey"] as const;
export type AnimalType = (typeof ANIMAL_TYPES)[number];

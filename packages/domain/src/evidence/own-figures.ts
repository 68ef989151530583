import type { Setting } from "./index.ts";

/** A practice's own figures in force on a day, by key: `trim.sole.block`, `growth.month-factors.5`. */
export type OwnFigures = Readonly<Record<string, number>>;

/** The same shape with every literal number widened. */
export type Figures<T> = T extends number
  ? number
  : T extends readonly (infer E)[]
    ? readonly Figures<E>[]
    : { readonly [K in keyof T]: Figures<T[K]> };

const replaced = (key: string, value: unknown, own: OwnFigures): unknown => {
  if (typeof value === "number") return own[key] ?? value;
  if (Array.isArray(value)) return value.map((one, at) => replaced(`${key}.${at + 1}`, one, own));
  if (typeof value === "object" && value !== null)
    return Object.fromEntries(
      Object.entries(value).map(([name, one]) => [name, replaced(`${key}.${name}`, one, own)]),
    );
  return value;
};

/** The value of a setting with the practice's own figures in the places they have; lists count from 1. */
export const withOwnFigures = <T>(
  setting: Pick<Setting<T>, "key" | "value">,
  own: OwnFigures,
): Figures<T> => replaced(setting.key, setting.value, own) as Figures<T>;

/** The values of a group of settings by name, with the practice's own figures in their places. */
export const valuesOf = <G extends Readonly<Record<string, Setting<unknown>>>>(
  group: G,
  own: OwnFigures,
): { readonly [K in keyof G]: Figures<G[K]["value"]> } =>
  Object.fromEntries(
    Object.entries(group).map(([name, setting]) => [name, withOwnFigures(setting, own)]),
  ) as { readonly [K in keyof G]: Figures<G[K]["value"]> };

import { keepPreviousData, useQuery } from "@tanstack/react-query";
import { useDeferredValue, useState } from "react";
import { read } from "../api/use-call.ts";
import { type Choice, Picker } from "../components/picker.tsx";

const SHOWN = 20;

/** Choose a horse by name, owner, yard, number or chip. */
export const HorsePicker = ({
  label,
  value,
  onChoose,
}: {
  readonly label: string;
  readonly value: Choice | null;
  readonly onChoose: (horse: Choice | null) => void;
}) => {
  const [typed, setTyped] = useState(value?.name ?? "");
  const q = useDeferredValue(typed.trim());
  const isChosen = q === value?.name;
  const horses = useQuery({
    ...read("listHorses", { query: { limit: SHOWN, ...(q === "" || isChosen ? {} : { q }) } }),
    placeholderData: keepPreviousData,
  });
  return (
    <Picker
      label={label}
      value={value?.id ?? null}
      valueName={value?.name}
      choices={(horses.data?.items ?? []).map((horse) => ({
        id: horse.id,
        name: horse.name,
        detail: horse.yard.name,
      }))}
      onChoose={onChoose}
      onSearch={setTyped}
      isRequired
    />
  );
};

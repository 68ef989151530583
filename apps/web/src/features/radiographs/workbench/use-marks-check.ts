import type { RadiographView } from "@heelward/contracts";
import { useQuery } from "@tanstack/react-query";
import { useEffect, useState } from "react";
import { call } from "../../../api/client.ts";
import type { Points } from "./machine/workbench.ts";

/** Marks that have not moved for this long are asked about. */
const REST_MS = 700;

const useRested = (points: Points): Points | undefined => {
  const [rested, setRested] = useState<Points>();
  useEffect(() => {
    const timer = setTimeout(() => setRested(points), REST_MS);
    return () => clearTimeout(timer);
  }, [points]);
  return rested === points ? rested : undefined;
};

/** What the service would say to these marks, asked as soon as they lie still; nothing is kept. */
export const useMarksCheck = (
  { id, version }: Pick<RadiographView, "id" | "version">,
  points: Points,
  isAsked: boolean,
) => {
  const rested = useRested(points);
  return useQuery({
    queryKey: ["checkLandmarks", id, version, rested],
    enabled: isAsked && rested !== undefined && Object.keys(rested).length >= 2,
    staleTime: Number.POSITIVE_INFINITY,
    gcTime: 10_000,
    retry: false,
    queryFn: ({ signal }) =>
      call(
        "checkLandmarks",
        { params: { radiographId: id }, body: { points: { ...rested } } },
        { signal },
      ),
  });
};

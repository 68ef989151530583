import { useMutation, useQuery, useQueryClient } from "@tanstack/react-query";
import { call } from "../api/client.ts";
import { read } from "../api/use-call.ts";

/** The device as a yard shares it, with who works on it; null in any other browser. */
export const useSharedDevice = () => {
  const { data } = useQuery({ ...read("readThisDevice", {}), staleTime: 60_000 });
  return data?.device ?? null;
};

/** Hands the device over. What the person before had read is forgotten and read again as the new one. */
export const useHandOver = (onDone: () => void) => {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (body: { readonly personId: string; readonly pin?: string }) =>
      call("switchPerson", { body }),
    onSuccess: async () => {
      onDone();
      await client.resetQueries();
    },
  });
};

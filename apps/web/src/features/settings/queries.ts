import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";

export const useSettings = () => useQuery(read("listSettings", {}));

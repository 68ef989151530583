import "./styles/tokens.css";
import "./styles/base.css";
import "./styles/print.css";
import { QueryClientProvider } from "@tanstack/react-query";
import { RouterProvider } from "@tanstack/react-router";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { queryClient } from "./api/query-client.ts";
import { askEarly } from "./app/current-session.tsx";
import { OPEN_PAGES } from "./app/pages.ts";
import { router } from "./app/router.tsx";
import { startLanguage } from "./language/language.ts";

const root = document.getElementById("root");
if (root === null) throw new Error("the page has no root");

const isOpen = OPEN_PAGES.some(({ path }) =>
  location.pathname.startsWith(path.replace(/\$.*/u, "")),
);
if (!isOpen) void askEarly(queryClient);
await startLanguage();
createRoot(root).render(
  <StrictMode>
    <QueryClientProvider client={queryClient}>
      <RouterProvider router={router} />
    </QueryClientProvider>
  </StrictMode>,
);

import type { InfiniteData, UseInfiniteQueryResult } from "@tanstack/react-query";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "./button.tsx";
import { ErrorState, Skeleton } from "./states.tsx";

/** A list that comes in pages: its states, its items, and a button for more. */
export const ListView = <T,>({
  query,
  empty,
  children,
}: {
  readonly query: UseInfiniteQueryResult<
    InfiniteData<{ readonly items: readonly T[]; readonly nextCursor: string | null }>
  >;
  readonly empty: ReactNode;
  readonly children: (items: readonly T[]) => ReactNode;
}) => {
  const { t } = useTranslation();
  if (query.data === undefined)
    return query.error === null ? (
      <Skeleton lines={6} />
    ) : (
      <ErrorState error={query.error} onRetry={() => void query.refetch()} />
    );
  const items = query.data.pages.flatMap((page) => page.items);
  if (items.length === 0) return empty;
  return (
    <>
      {children(items)}
      {query.hasNextPage ? (
        <div className="row no-print">
          <Button
            look="quiet"
            isWide
            isBusy={query.isFetchingNextPage}
            onClick={() => void query.fetchNextPage()}
          >
            {t("more")}
          </Button>
        </div>
      ) : null}
    </>
  );
};

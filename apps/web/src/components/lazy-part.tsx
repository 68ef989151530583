import { type ComponentType, lazy, Suspense } from "react";

/** A part whose code is fetched when it is first shown, such as a dialog: it keeps pages light. */
export const lazyPart = <P extends object>(load: () => Promise<ComponentType<P>>) => {
  const Part = lazy(async () => ({ default: await load() })) as unknown as ComponentType<P>;
  return (props: P) => (
    <Suspense fallback={null}>
      <Part {...props} />
    </Suspense>
  );
};

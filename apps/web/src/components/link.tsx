import { useRouter } from "@tanstack/react-router";
import type { ComponentProps, MouseEvent } from "react";

const isPlainClick = (event: MouseEvent): boolean =>
  event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey && !event.altKey;

/** A link within the dashboard; the page's code is fetched when the pointer comes near. */
export const Link = ({
  href,
  onClick,
  children,
  ...rest
}: ComponentProps<"a"> & { readonly href: string }) => {
  const router = useRouter();
  const isOurs = href.startsWith("/") && !href.startsWith("/api/");
  const preload = () => {
    if (isOurs) void router.preloadRoute({ to: href });
  };
  return (
    <a
      {...rest}
      href={href}
      onPointerEnter={preload}
      onFocus={preload}
      onClick={(event) => {
        onClick?.(event);
        if (event.defaultPrevented || !isOurs || !isPlainClick(event) || rest.target !== undefined)
          return;
        event.preventDefault();
        router.history.push(href);
      }}
    >
      {children}
    </a>
  );
};

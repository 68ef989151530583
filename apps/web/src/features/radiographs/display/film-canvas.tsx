import type { Film } from "@heelward/radiograph/film";
import { memo, useEffect, useLayoutEffect, useRef, useState } from "react";
import type { Size } from "../workbench/machine/viewport.ts";
import styles from "./film.module.css";
import { createRenderer } from "./renderer.ts";
import type { Renderer, Scene } from "./scene.ts";

/** A film drawn at a place and with a brightness; redrawn at most once per frame. */
export const FilmCanvas = memo(
  ({
    film,
    scene,
    size,
    className,
    style,
  }: {
    readonly film: Film;
    readonly scene: Scene;
    readonly size: Size;
    readonly className?: string | undefined;
    readonly style?: React.CSSProperties | undefined;
  }) => {
    const canvas = useRef<HTMLCanvasElement>(null);
    const [renderer, setRenderer] = useState<Renderer>();
    useEffect(() => {
      if (canvas.current === null) return undefined;
      const made = createRenderer(canvas.current, {
        width: film.widthPx,
        height: film.heightPx,
        pixels: film.pixels,
        bitsStored: film.bitsStored,
      });
      setRenderer(made);
      return () => {
        made.dispose();
        setRenderer(undefined);
      };
    }, [film]);
    useLayoutEffect(() => {
      if (renderer === undefined || size.width === 0) return undefined;
      const frame = requestAnimationFrame(() =>
        renderer.draw(scene, size, Math.min(2, window.devicePixelRatio)),
      );
      return () => cancelAnimationFrame(frame);
    }, [renderer, scene, size]);
    return (
      <canvas
        ref={canvas}
        className={`${styles["canvas"] ?? ""} ${className ?? ""}`}
        style={style}
        data-drawn-by={renderer?.kind}
      />
    );
  },
);

// A landmark dragged on a 3000 × 2400 film of 16 bit in a real browser: frames a second beside an empty
// loop of the same page, the work per frame, the time to work out every measure, and brightness changes.
// The browser is started as it comes: without a graphics card it puts the page together on the processor.
// BENCH_GL=swiftshader makes it emulate a card instead, which costs tens of milliseconds for each frame
// in which anything large changes, whatever the page does.
import { randomUUID } from "node:crypto";
import { existsSync } from "node:fs";
import { loadavg } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { build } from "vite";
import { root } from "../../apps/api/bin/build.mjs";
import { signIn, withDemoDashboard } from "./demo-service.mjs";

const frames = 120;
const measured = 4000;
const warmUp = 500;

const median = (numbers) => numbers.toSorted((a, b) => a - b)[Math.floor(numbers.length / 2)];
const share = (numbers, part) =>
  numbers.toSorted((a, b) => a - b)[Math.floor(part * (numbers.length - 1))];

const makeFilm = async () => {
  const { phantomFromMeasures } = await import("@heelward/radiograph/phantom");
  const { writeDicom } = await import("@heelward/radiograph/dicom");
  const phantom = phantomFromMeasures(
    {
      palmarAngleDegrees: 8,
      boneFrontAngleDegrees: 55,
      wallAngleDegrees: 48.5,
      wallToBoneTopMm: 15.5,
      wallToBoneBottomMm: 19.5,
      soleTipMm: 13,
      soleWingMm: 20.5,
      founderDistanceMm: 10.5,
      breakoverDistanceMm: 14.5,
      solarLengthMm: 54,
      wallSpanMm: 34,
    },
    { render: { widthPx: 3000, heightPx: 2400, detectorPitchMm: 0.068, bitsStored: 16 } },
  );
  const dicom = writeDicom(phantom.film, {
    horseName: "Bench",
    horseId: "1",
    takenOn: new Date(Date.now() - 86_400_000).toISOString().slice(0, 10),
    takenAtTime: "10:00:00",
    side: "L",
    view: "lateromedial",
  });
  return { phantom, dicom };
};

/** Uploads the film to a case of the demo, states its marker and places every point. */
const addFilm = async (url, token, { phantom, dicom }) => {
  const ask = async (method, path, body, headers = {}) => {
    const isForm = body instanceof FormData;
    const answer = await fetch(`${url}/api/v1${path}`, {
      method,
      headers: {
        authorization: `Bearer ${token}`,
        ...(method === "GET" ? {} : { "idempotency-key": randomUUID() }),
        ...(body === undefined || isForm ? {} : { "content-type": "application/json" }),
        ...headers,
      },
      ...(body === undefined ? {} : { body: isForm ? body : JSON.stringify(body) }),
    });
    if (!answer.ok) throw new Error(`${path} answered ${answer.status}: ${await answer.text()}`);
    return answer.json();
  };
  // A horse of its own: its films must not be checked against those of another foot.
  const { items: yards } = await ask("GET", "/yards?limit=1");
  const horse = await ask("POST", "/horses", {
    name: `Bench ${randomUUID().slice(0, 8)}`,
    type: "horse",
    sex: "mare",
    bornOn: "2015-04-01",
    yardId: yards[0].id,
  });
  const opened = await ask("POST", "/cases", { horseId: horse.id, phase: "chronic active" });
  const form = new FormData();
  for (const [name, value] of Object.entries({ foot: "LF", groundLineOn: "foot surface" }))
    form.append(name, value);
  form.append("file", new Blob([dicom]), "bench.dcm");
  const film = await ask("POST", `/cases/${opened.id}/radiographs`, form);
  await ask(
    "PATCH",
    `/radiographs/${film.id}`,
    { scale: { kind: "marker", lengthMm: 100, lengthStandardUncertaintyMm: 0.2 } },
    { "if-match": `"${film.version}"` },
  );
  const points = Object.fromEntries(
    Object.entries(phantom.landmarksPx).map(([key, { x, y }]) => [key, { x, y }]),
  );
  await ask("POST", `/radiographs/${film.id}/landmark-sets`, { points });
  return { filmId: film.id, points };
};

/** Runs `act` once per frame in the page and gives the time between frames. */
const perFrame = async (page, act) => {
  await page.evaluate(`globalThis.benchStep = ${act}`);
  return page.evaluate(
    async ({ count, argument }) => {
      const step = globalThis.benchStep;
      const times = [];
      await new Promise((done, fail) => {
        const loop = (at) => {
          times.push(at);
          if (times.length > count) {
            done();
            return;
          }
          try {
            step(times.length, argument);
          } catch (error) {
            fail(error);
            return;
          }
          requestAnimationFrame(loop);
        };
        requestAnimationFrame(loop);
      });
      return times.slice(1).map((at, index) => at - times[index]);
    },
    { count: frames, argument: {} },
  );
};

const DRAG = `(frame, argument) => {
  const mark = document.querySelector('[data-mark="p3Tip"]') ?? argument.mark;
  argument.mark = mark;
  const stage = document.querySelector('[role="application"]');
  const box = stage.getBoundingClientRect();
  const send = (type, x, y, target) => target.dispatchEvent(new PointerEvent(type, {
    bubbles: true, pointerId: 1, pointerType: "mouse", isPrimary: true, button: 0, buttons: 1,
    clientX: x, clientY: y,
  }));
  if (frame === 1) {
    stage.setPointerCapture = () => undefined;
    const at = mark.getBoundingClientRect();
    argument.x = at.left + at.width / 2;
    argument.y = at.top + at.height / 2;
    send("pointerdown", argument.x, argument.y, mark);
    return;
  }
  send("pointermove", argument.x + 60 * Math.sin(frame / 9), argument.y + 40 * Math.cos(frame / 7), stage);
}`;

/** The least a page can change: what the browser itself can put on the screen on this machine. */
const SQUARE = `(frame, argument) => {
  argument.square ??= (() => {
    const square = document.createElement("div");
    square.style.cssText = "position:fixed;z-index:99;width:10px;height:10px;top:400px;background:red";
    document.body.append(square);
    return square;
  })();
  argument.square.style.left = 200 + frame * 3 + "px";
}`;

const SHADE = `(frame) => {
  const slider = document.querySelectorAll('input[type="range"]')[0];
  const set = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, "value").set;
  const middle = (Number(slider.min) + Number(slider.max)) / 2;
  set.call(slider, String(middle + middle * 0.4 * Math.sin(frame / 9)));
  slider.dispatchEvent(new Event("input", { bubbles: true }));
}`;

const busy = async (session) => {
  const { metrics } = await session.send("Performance.getMetrics");
  return metrics.find(({ name }) => name === "TaskDuration").value * 1000;
};

/** Counts what really came onto the screen while `act` runs: the page may be asked for frames that are dropped. */
const drawnDuring = async (session, act) => {
  let drawn = 0;
  const count = ({ value }) => {
    drawn += value.filter(({ name, ph }) => name === "Display::DrawAndSwap" && ph === "X").length;
  };
  const ended = new Promise((done) => session.once("Tracing.tracingComplete", done));
  session.on("Tracing.dataCollected", count);
  await session.send("Tracing.start", {
    transferMode: "ReportEvents",
    traceConfig: { includedCategories: ["viz"] },
  });
  const result = await act();
  await session.send("Tracing.end");
  await ended;
  session.off("Tracing.dataCollected", count);
  return { result, drawn };
};

const loop = async (page, session, act) => {
  const before = await busy(session);
  const { result: times, drawn } = await drawnDuring(session, () => perFrame(page, act));
  const work = ((await busy(session)) - before) / frames;
  const seconds = times.reduce((sum, time) => sum + time, 0) / 1000;
  return {
    perSecond: frames / seconds,
    drawnPerSecond: drawn / seconds,
    middle: median(times),
    slow: share(times, 0.99),
    work,
  };
};

/** Every measure with its uncertainty, worked out again and again in the browser itself. */
const remeasure = async (page, points) => {
  const [bundle] = [
    await build({
      root,
      configFile: false,
      logLevel: "silent",
      build: {
        write: false,
        lib: {
          entry: join(root, "packages/domain/dist/geometry/index.js"),
          formats: ["iife"],
          name: "geometry",
        },
      },
    }),
  ].flat();
  await page.addScriptTag({ content: bundle.output[0].code });
  return page.evaluate(
    ({ points, measured }) => {
      const { measureLateromedial } = globalThis.geometry;
      const times = [];
      let sum = 0;
      for (let step = 0; step < measured; step += 1) {
        const p3Tip = { x: points.p3Tip.x + (step % 40) * 0.1, y: points.p3Tip.y };
        const from = performance.now();
        const all = measureLateromedial({
          landmarks: { ...points, p3Tip },
          scale: { kind: "marker", lengthMm: 100, lengthStandardUncertaintyMm: 0.2 },
          animal: { kind: "horse" },
          groundLineOn: "foot surface",
        });
        times.push(performance.now() - from);
        sum += all[0].value;
      }
      if (!Number.isFinite(sum)) throw new Error("nothing was measured");
      return times;
    },
    { points, measured },
  );
};

const measure = async (url, person) => {
  const film = await addFilm(url, await signIn(url, person), await makeFilm());
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM_PATH ?? "/usr/bin/chromium",
    args: [
      "--no-sandbox",
      "--no-first-run",
      "--disable-background-networking",
      ...(process.env.BENCH_GL === undefined
        ? []
        : ["--use-gl=angle", `--use-angle=${process.env.BENCH_GL}`, "--enable-unsafe-swiftshader"]),
    ],
  });
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 1000 } });
    await page.goto(url);
    await page.getByLabel("E-mail").fill(person.email);
    await page.getByLabel("Password").fill(person.password);
    await page.getByRole("button", { name: "Sign in" }).click();
    await page.getByRole("button", { name: "Sign in" }).waitFor({ state: "detached" });
    const session = await page.context().newCDPSession(page);
    await session.send("Performance.enable");
    await page.goto(`${url}/films/${film.filmId}`);
    await page.locator("canvas[data-drawn-by]").waitFor();
    await page.locator('[data-mark="p3Tip"]').waitFor();
    const drawnBy = await page.locator("canvas[data-drawn-by]").getAttribute("data-drawn-by");
    const load = () => loadavg()[0].toFixed(1);
    console.log(
      `film in Chromium, 3000 × 2400 at 16 bit, stage of 1440 × 1000, drawn by ${drawnBy}, ${frames} frames each, load ${load()} at the start`,
    );
    const show = (label, one, empty) =>
      console.log(
        `  ${label.padEnd(34)} ${one.perSecond.toFixed(0).padStart(3)} frames/s (${(one.perSecond / empty).toFixed(2)} of the empty loop), ${one.drawnPerSecond.toFixed(0)} on the screen, middle ${one.middle.toFixed(0)} ms, 99 % within ${one.slow.toFixed(0)} ms, page busy ${one.work.toFixed(1)} ms a frame`,
      );
    // The first loop finds the page still loading; the second is the one to compare with.
    await loop(page, session, "() => undefined");
    const nothing = await loop(page, session, "() => undefined");
    const empty = nothing.perSecond;
    show("nothing (an empty loop)", nothing, empty);
    show("a square of 10 px is moved", await loop(page, session, SQUARE), empty);
    show("a landmark is dragged", await loop(page, session, DRAG), empty);
    await page.keyboard.press("Escape");
    await page.getByText("Brightness", { exact: true }).first().click();
    show("brightness is changed", await loop(page, session, SHADE), empty);
    const times = (await remeasure(await browser.newPage(), film.points)).slice(warmUp);
    console.log(
      `  all measures with uncertainty: median ${median(times).toFixed(3)} ms, 90 % within ${share(times, 0.9).toFixed(3)} ms, 99 % within ${share(times, 0.99).toFixed(3)} ms (aim: under 1 ms), load ${load()} at the end`,
    );
  } finally {
    await browser.close();
  }
};

/** Prints the times on the demo practice, in a database of its own. */
export const filmDrag = async () => {
  if (!existsSync(process.env.CHROMIUM_PATH ?? "/usr/bin/chromium")) {
    console.log("film in Chromium: there is no browser here");
    return;
  }
  await withDemoDashboard(async (url, signIns) => {
    await measure(
      url,
      signIns.find(({ role }) => role === "vet"),
    );
  });
};

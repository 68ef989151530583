// Time from the bytes of a 3000 × 2400 film of 16 bit to its first picture, as a share of what dcmtk's
// own converter takes in the same run, and the time to work out every measure again.
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const rounds = 7;
const remeasured = 3000;

const median = (numbers) => numbers.toSorted((a, b) => a - b)[Math.floor(numbers.length / 2)];

const timed = async (act) => {
  const begun = performance.now();
  await act();
  return performance.now() - begun;
};

const has = (program) => {
  try {
    execFileSync(program, ["--version"], { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
};

const measureDecoding = async (folder, phantom) => {
  const { readDicomFilm, writeDicom } = await import("@heelward/radiograph/dicom");
  const { readFilmInWorker } = await import("@heelward/radiograph/decode-worker");
  const { applyDefaultDisplay } = await import("@heelward/radiograph/display");
  const tags = {
    horseName: "Bench",
    horseId: "1",
    takenOn: "2026-10-13",
    takenAtTime: "10:00:00",
    side: "L",
    view: "lateromedial",
  };
  const plain = join(folder, "plain.dcm");
  const picture = join(folder, "picture.pgm");
  writeFileSync(plain, writeDicom(phantom.film, tags));
  const small = join(folder, "small.dcm");
  const one = {
    ...phantom.film,
    widthPx: 8,
    heightPx: 8,
    pixels: phantom.film.pixels.slice(0, 64),
  };
  writeFileSync(small, writeDicom(one, tags));
  const packed = (name, program, options) => {
    const path = join(folder, `${name}.dcm`);
    execFileSync(program, [...options, plain, path]);
    return { name, path };
  };
  const files = [
    { name: "uncompressed", path: plain },
    packed("RLE", "dcmcrle", []),
    packed("JPEG lossless", "dcmcjpeg", ["+e1"]),
    packed("JPEG-LS", "dcmcjpls", []),
  ];
  // The file's own window, to 8 bit; dcmj2pnm is the same program with the JPEG decoders.
  const converterOf = { "JPEG-LS": "dcml2pnm", "JPEG lossless": "dcmj2pnm" };
  const convert = (program, path) =>
    execFileSync(program, ["+Wi", "1", "+op", path, picture], { stdio: "ignore" });
  const start = [];
  for (let round = 0; round < rounds; round += 1)
    start.push(await timed(() => convert("dcm2pnm", small)));
  console.log(`film, decode and first display of 3000 × 2400 at 16 bit, median of ${rounds}, ms`);
  console.log(`  dcm2pnm on 8 × 8 pixels (its start alone): ${median(start).toFixed(0)}`);
  for (const { name, path } of files) {
    const program = converterOf[name] ?? "dcm2pnm";
    const [ours, worker, theirs] = [[], [], []];
    // In turns, so that a slow minute of the machine falls on all alike.
    for (let round = 0; round < rounds; round += 1) {
      ours.push(
        await timed(async () => {
          const read = await readDicomFilm(new Uint8Array(readFileSync(path)));
          if (!read.ok) throw new Error(`${name}: ${read.detail}`);
          const shown = applyDefaultDisplay(read.value);
          writeFileSync(picture, shown);
        }),
      );
      worker.push(
        await timed(async () => {
          const read = await readFilmInWorker(new Uint8Array(readFileSync(path)));
          if (!read.ok) throw new Error(`${name}: ${read.detail}`);
          applyDefaultDisplay(read.value);
        }),
      );
      theirs.push(await timed(() => convert(program, path)));
    }
    const [a, b, c] = [median(ours), median(worker), median(theirs)];
    console.log(
      `  ${name}: ours ${a.toFixed(0)}, ours in a thread of its own ${b.toFixed(0)}, ${program} ${c.toFixed(0)}; ratio ${(a / c).toFixed(2)} (in a thread ${(b / c).toFixed(2)})`,
    );
  }
};

const measureRemeasuring = async (phantom) => {
  const { measureLateromedial } = await import("@heelward/domain/geometry");
  const landmarks = Object.fromEntries(
    Object.entries(phantom.landmarksPx).map(([key, { x, y }]) => [key, { x, y }]),
  );
  const scale = { kind: "marker", lengthMm: 100, lengthStandardUncertaintyMm: 0.2 };
  const times = [];
  let sum = 0;
  for (let step = 0; step < remeasured; step += 1) {
    const p3Tip = { x: landmarks.p3Tip.x + (step % 40) * 0.1, y: landmarks.p3Tip.y };
    const begun = performance.now();
    const measured = measureLateromedial({
      landmarks: { ...landmarks, p3Tip },
      scale,
      animal: { kind: "horse" },
      groundLineOn: "foot surface",
    });
    times.push(performance.now() - begun);
    sum += measured[0].value;
  }
  if (!Number.isFinite(sum)) throw new Error("nothing was measured");
  const sorted = times.slice(500).toSorted((a, b) => a - b);
  const at = (share) => sorted[Math.floor(share * (sorted.length - 1))].toFixed(3);
  console.log(
    `film, all measures with uncertainty while a point is dragged: median ${at(0.5)} ms, 99 % ${at(0.99)} ms`,
  );
};

export const filmTimes = async () => {
  const { phantomFromMeasures } = await import("@heelward/radiograph/phantom");
  const measures = {
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
  };
  const phantom = phantomFromMeasures(measures, {
    render: { widthPx: 3000, heightPx: 2400, detectorPitchMm: 0.068, bitsStored: 16 },
  });
  await measureRemeasuring(phantom);
  if (!has("dcm2pnm")) {
    console.log("film, decode: dcmtk is not installed, nothing to compare with");
    return;
  }
  const folder = mkdtempSync(join(tmpdir(), "heelward-film-times-"));
  try {
    await measureDecoding(folder, phantom);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

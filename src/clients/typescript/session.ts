// A short session with the TypeScript client: a tread line is recorded, weighs strips and is asked.
import {
  AccessApi,
  ActorKind,
  CapabilityApi,
  CharacteristicKind,
  ChartKind,
  Comparison,
  ComponentKind,
  Configuration,
  ControlPlanApi,
  InstrumentKind,
  LineKind,
  PlantApi,
  ProblemFromJSON,
  ReadingsApi,
  ResponseError,
  Result,
  Role,
  SpecificationsApi,
} from "./plant/index.js";
import type { Posting } from "./plant/index.js";

declare const process: { argv: string[] };

const [, , basePath, token] = process.argv;
const start = Date.now() - 3_600_000;

function by(accessToken: string): Configuration {
  return new Configuration({ basePath, accessToken });
}

function hold(holds: boolean, what: string): void {
  if (!holds) {
    throw new Error(`It does not hold that ${what}`);
  }
}

function posting(number: number): Posting {
  return {
    key: `T:${number}`,
    station: "T-W1",
    characteristic: "T-MASS",
    sample: `T ${number}`,
    value: Number((5.6 + ((number * 7) % 11) / 1000).toFixed(3)),
    unit: "kg",
    measuredAt: new Date(start + number * 60_000),
  };
}

const access = new AccessApi(by(token));
const person = await access.makeToken({
  tokenRequest: { name: "T-QUALITY", kind: ActorKind.Person, role: Role.Quality },
});
const quality = by(person.text);

const plant = new PlantApi(quality);
await plant.createLine({
  lineRequest: { code: "T1", name: "Tread line", kind: LineKind.TreadExtrusion },
});
await plant.createStation({ stationRequest: { code: "T-W1", name: "Scale", line: "T1" } });
await plant.createInstrument({
  instrumentRequest: {
    code: "T-S1",
    name: "Scale",
    station: "T-W1",
    kind: InstrumentKind.Scale,
    unit: "kg",
    interval: 0.001,
  },
});
await plant.createComponents({ body: "code,name,kind\nT-114,Tread 114,TREAD_STRIP\n" });
await plant.createComponent({
  componentRequest: { code: "T-115", name: "Tread 115", kind: ComponentKind.TreadStrip },
});
const specifications = new SpecificationsApi(quality);
await specifications.createCharacteristic({
  characteristicRequest: {
    code: "T-MASS",
    name: "Mass",
    component: "T-114",
    kind: CharacteristicKind.Measured,
    unit: "kg",
  },
});
await specifications.recordSpecification({
  code: "T-MASS",
  specificationRequest: {
    validFrom: new Date(start - 86_400_000),
    lower: 5.5,
    upper: 5.7,
    unit: "kg",
    comparison: Comparison.Absolute,
    reason: "Drawing",
  },
});
await new ControlPlanApi(quality).createControlPlanRow({
  controlPlanRequest: {
    code: "T-CHART",
    name: "Mass of tread 114",
    characteristic: "T-MASS",
    line: "T1",
    method: "Scale",
    sampleSize: 1,
    frequency: "Each strip",
    kind: ChartKind.Individuals,
    subgroupSize: 1,
    response: "Stop and look",
  },
});

const terminal = await access.makeToken({
  tokenRequest: {
    name: "T-W1",
    kind: ActorKind.Station,
    role: Role.Station,
    station: "T-W1",
  },
});
const posts = new ReadingsApi(by(terminal.text));
const ids: string[] = [];
for (let i = 0; i < 25; i++) {
  const reading = await posts.recordReading({ posting: posting(i) });
  hold(reading.result === Result.Pass, `reading ${i} passes`);
  ids.push(reading.id);
}
const again = await posts.recordReadingRaw({ posting: posting(7) });
hold(again.raw.status === 200, "a repeat is answered with 200");
hold((await again.value()).id === ids[7], "a repeat is the same reading");

const readings = new ReadingsApi(quality);
const listed: string[] = [];
let cursor: string | undefined;
do {
  const page = await readings.listReadings({ characteristic: "T-MASS", limit: 10, cursor });
  listed.push(...page.items.map((reading) => reading.id));
  cursor = page.cursor;
} while (cursor !== undefined);
hold(listed.join() === ids.join(), "the pages list each reading once, in order");
hold((await readings.getReading({ id: ids[4] })).id === ids[4], "a reading is read by its id");

const many = [100, 101]
  .map((number) => JSON.stringify({ ...posting(number), measuredAt: new Date(start) }) + "\n")
  .join("");
const outcomes = (await (await posts.recordReadings({ body: many })).text()).trim().split("\n");
hold(outcomes.length === 3, "two lines and the end are answered");
hold(JSON.parse(outcomes[2]).recorded === 2, `two readings are recorded: ${outcomes[2]}`);

const capability = await new CapabilityApi(quality).studyCapability({
  chart: "T-CHART",
  measuredFrom: new Date(start - 60_000),
  evenIfNotInControl: true,
});
hold(capability.studies.length === 1, "one chart is studied");
hold(capability.studies[0].ppk !== undefined, "there is a Ppk");

try {
  await posts.recordReading({ posting: { ...posting(99), station: "NO-SUCH" } });
  hold(false, "a wrong posting is refused");
} catch (refused) {
  if (!(refused instanceof ResponseError)) {
    throw refused;
  }
  const problem = ProblemFromJSON(await refused.response.json());
  hold(problem.status === refused.response.status, "the problem has the status");
  hold(problem.detail !== "", "the problem says what is wrong");
}

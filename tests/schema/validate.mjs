// The schemas of docs against what the reader takes and refuses, and against what the program
// writes. Arguments: a folder with what the program wrote: NAME.timeline.json, NAME.recipe.json,
// NAME.plan.json, NAME.jsonl. Run from the root of the project.
import Ajv2020 from "ajv/dist/2020.js";
import { readFileSync, readdirSync } from "fs";

const written = process.argv[2];
let passed = 0, failed = 0;

function check(good, what) {
  if (good) passed++;
  else {
    failed++;
    console.log(`FAILED  ${what}`);
  }
}

// Comments become blanks; texts stay. What else is no JSON is none.
function plain(text) {
  return text.replace(/^\uFEFF/, "").replace(/("(?:[^"\\\n]|\\.)*")|\/\/[^\n]*|\/\*[^]*?\*\//g, (all, string) => string ?? " ");
}
const json = (text) => JSON.parse(plain(text));
const read = (path) => json(readFileSync(path, "utf8"));
const files = (folder, end) =>
  readdirSync(folder).filter((name) => name.endsWith(end)).sort().map((name) => `${folder}/${name}`);

// What we write may not have a key that the schema does not tell of, though a reader of it may.
function strict(schema) {
  if (Array.isArray(schema)) return schema.map(strict);
  if (!schema || typeof schema !== "object") return schema;
  const all = Object.fromEntries(Object.entries(schema).map(([key, value]) => [key, strict(value)]));
  return schema.type === "object" && schema.properties ? { ...all, additionalProperties: false } : all;
}

const ajv = new Ajv2020({ strict: true, strictRequired: false, strictTypes: false, allErrors: true });
for (const name of ["plan", "recipe", "kitchen", "day", "timeline"]) {
  const schema = read(`docs/${name}.schema.json`);
  ajv.addSchema(schema, `${name}.schema.json`);
  check(ajv.validateSchema(schema), `docs/${name}.schema.json is a schema`);
}
ajv.addSchema(strict(read("docs/timeline.schema.json")), "strict");
const validator = (name) => ajv.getSchema(name.includes("/") || name === "strict" ? name : `${name}.schema.json`);
const explain = (validate) => (validate.errors ?? []).slice(0, 3).map((e) => `${e.instancePath} ${e.message}`).join("; ");

function takes(name, value, what) {
  const validate = validator(name);
  const good = validate(value);
  check(good, `${what} is refused as ${name}: ${explain(validate)}`);
}
const refuses = (name, value, what) => check(!validator(name)(value), `${what} is taken as ${name}`);

// What the reader takes.
for (const path of files("plans", ".json")) takes("plan", read(path), path);
for (const path of files("plans/recipes", ".json")) takes("recipe", read(path), path);
for (const path of files("plans/kitchens", ".json")) takes("kitchen", read(path), path);
for (const path of files("tests/data/plan/valid", ".json")) takes("plan", read(path), path);
const page = readFileSync("docs/plan-format.md", "utf8");
const forms = { plan: "plan", "plan-with-files": "plan", kitchen: "kitchen", dish: "recipe", stages: "plan.schema.json#/$defs/stages" };
let examples = 0;
for (const [, tag, text] of page.matchAll(/<!-- ([a-z-]+) -->\s*```json\n([^]*?)\n```\n/g)) {
  examples++;
  if (tag === "wrong") refuses("plan", json(text), "the example of a wrong plan");
  else takes(forms[tag], json(text), `the example <!-- ${tag} -->`);
}
check(examples > 6, "the page has examples");

// What the reader refuses: so do the schemas, but for what only the reader can see.
const only = new Map(readFileSync("tests/schema/reader-only.txt", "utf8").split("\n")
  .filter((line) => line && !line.startsWith("#")).map((line) => [line.split(/\s+/)[0], false]));
let noJson = 0, refused = 0;
for (const path of [...files("tests/data/cli/bad", ".json"), ...files("tests/data/plan/invalid", ".json")]) {
  let value;
  try {
    value = read(path);
  } catch {
    noJson++;
    continue;
  }
  const name = path.replace("tests/data/", "").replace(".json", "");
  if (!validator("plan")(value)) {
    refused++;
    check(!only.has(name), `${name} is in reader-only.txt, and the schema refuses it`);
  } else {
    check(only.has(name), `${name} is taken, and not in tests/schema/reader-only.txt`);
    only.set(name, true);
  }
}
for (const [name, seen] of only) check(seen || validator("plan")(read(`tests/data/${name}.json`)) === false, `${name} of reader-only.txt is no bad plan`);
check(refused > 40, "the schema refuses much");

// What the program writes.
let outputs = 0;
for (const path of files(written, ".timeline.json")) {
  const value = read(path);
  outputs++;
  takes("timeline", value, path);
  takes("strict", value, path);
  refuses("timeline", { ...value, status: "perhaps" }, `${path} with another status`);
  refuses("timeline", { ...value, stages: value.stages.concat({}) }, `${path} with an empty stage`);
}
for (const path of files(written, ".plan.json")) takes("plan", read(path), path);
for (const path of files(written, ".recipe.json")) takes("recipe", read(path), path);
for (const path of [...files(written, ".jsonl"), "tests/data/day/by-hand.jsonl", "tests/data/day/whole.jsonl"])
  readFileSync(path, "utf8").split("\n").filter((line) => line.trim()).forEach((line, i) => takes("day", json(line), `${path}, line ${i + 1}`));
for (const line of ['{"at": "2026-12-04T17:36:00+01:00", "what": "beginn"}', '{"at": 1}',
  '{"at": "2026-12-04T17:36:00+01:00", "what": "begun", "dish": "Rolls"}', '{"what": "undo"}'])
  refuses("day", json(line), line);

console.log(`${passed} passed, ${failed} failed; of the bad plans ${noJson} are no JSON, ${refused} are refused, ` +
  `${only.size} only the reader sees; ${outputs} timelines`);
process.exit(failed === 0 && outputs > 5 ? 0 : 1);

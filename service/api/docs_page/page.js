// Interactive documentation of the contract at openapi.json. Everything is put into the page as text, never as markup.
// Addresses are relative to the page, so that it works behind a proxy that adds a prefix.

const METHODS = ["get", "post"];
const BASE = new URL(".", location.href).pathname;
const byId = (id) => document.getElementById(id);

/** An element with attributes and children; strings become text. */
function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(name, value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...children);
  return element;
}

let contract;
const operations = new Map();

function resolve(schema) {
  while (schema?.$ref) schema = schema.$ref.slice(2).split("/").reduce((node, step) => node[step], contract);
  return schema ?? {};
}

/** Type, bounds and default of a schema in one line. */
function describeType(given) {
  const schema = resolve(given);
  const parts = [];
  if (schema.enum) parts.push(`one of ${schema.enum.join(", ")}`);
  else if (schema.const !== undefined) parts.push(`always ${schema.const}`);
  else if (schema.type === "array") parts.push(`list of ${resolve(schema.items).title ?? describeType(schema.items ?? {})}`);
  else parts.push(schema.type === "object" && schema.title ? schema.title : schema.type ?? "any");
  const bounds = [
    ["exclusiveMinimum", "above"], ["minimum", "at least"], ["exclusiveMaximum", "below"], ["maximum", "at most"],
    ["minLength", "characters at least"], ["maxLength", "characters at most"],
    ["minItems", "items at least"], ["maxItems", "items at most"],
  ];
  for (const [name, words] of bounds) if (schema[name] !== undefined) parts.push(`${words} ${schema[name]}`);
  if (schema.default !== undefined) parts.push(`default ${JSON.stringify(schema.default)}`);
  return parts.join("; ");
}

/** The fields of an object schema; nested objects open on demand, so that schemas may be deep. */
function describeFields(given) {
  const schema = resolve(given);
  const list = make("dl");
  for (const [name, field] of Object.entries(schema.properties ?? {})) {
    const required = (schema.required ?? []).includes(name);
    const text = field.description ?? resolve(field).description ?? "";
    const inner = resolve(field).type === "array" ? resolve(field).items : field;
    list.append(make("dt", {}, `${name}${required ? " (required)" : ""}`));
    const about = make("dd", {}, make("span", { class: "hint" }, describeType(field)), text ? ` ${text}` : "");
    if (resolve(inner).properties) {
      const holder = make("div");
      const fold = make("details", { toggle: () => { if (fold.open && !holder.firstChild) holder.append(describeFields(inner)); } },
        make("summary", {}, `Fields of ${name}`), holder);
      about.append(fold);
    }
    list.append(about);
  }
  return list;
}

function fold(title, ...content) {
  return make("details", {}, make("summary", {}, title), make("div", {}, ...content));
}

const pretty = (value) => JSON.stringify(value, null, 2);

/** An input for a path or query parameter. */
function parameterField(parameter) {
  const schema = resolve(parameter.schema);
  const id = `parameter-${parameter.name}`;
  const hint = `${id}-hint`;
  const example = Object.values(parameter.examples ?? {})[0]?.value;
  const attributes = { id, name: parameter.name, "data-in": parameter.in, "aria-describedby": hint, required: parameter.required === true };
  const field = schema.enum
    ? make("select", attributes, make("option", { value: "" }, "(not sent)"), ...schema.enum.map((word) => make("option", { value: word }, word)))
    : make("input", { ...attributes, value: parameter.required ? example : undefined, autocomplete: "off" });
  return make("div", {},
    make("label", { for: id }, `${parameter.name}${parameter.required ? " (required)" : ""}`),
    field,
    make("p", { class: "hint", id: hint }, `${parameter.description ?? ""} ${describeType(schema)}`));
}

function bodyFields(content) {
  const examples = Object.entries(content.examples ?? {});
  const area = make("textarea", { id: "body", spellcheck: "false", "aria-describedby": "body-hint" });
  const choose = () => { area.value = pretty(content.examples[choice.value].value); };
  const choice = make("select", { id: "example", change: choose },
    ...examples.map(([name, example]) => make("option", { value: name }, example.summary ?? name)));
  if (examples.length) choose();
  return [
    make("label", { for: "example" }, "Example"), choice,
    make("label", { for: "body" }, "Body"), area,
    make("p", { class: "hint", id: "body-hint" }, "JSON; edit it and send."),
  ];
}

/** Path with parameters filled in, and the query. */
function address(path, form) {
  const query = new URLSearchParams();
  for (const field of form.querySelectorAll("[data-in]")) {
    const value = field.value;
    if (field.dataset.in === "path") path = path.replace(`{${field.name}}`, encodeURIComponent(value));
    else if (value !== "") query.append(field.name, value);
  }
  const whole = BASE + path.slice(1);
  return query.size ? `${whole}?${query}` : whole;
}

const shellQuoted = (text) => `'${text.replaceAll("'", "'\\''")}'`;

async function showAnswer(response, started, area) {
  const took = Math.round(performance.now() - started);
  const type = response.headers.get("content-type") ?? "";
  const outcome = `${response.status} ${response.statusText || (response.ok ? "OK" : "refused")}, ${took} ms, ${type || "no body"}`;
  const shown = [make("h3", {}, "Answer"), make("p", { class: response.ok ? "line" : "line bad" }, outcome)];
  const id = response.headers.get("x-request-id");
  if (id) shown.push(make("p", { class: "hint" }, `Request id ${id}`));
  if (type.startsWith("image/") && !type.includes("dxf")) {
    const url = URL.createObjectURL(await response.blob());
    shown.push(make("img", { src: url, alt: "The drawing that was asked for", load: () => URL.revokeObjectURL(url) }));
  } else {
    const text = await response.text();
    let body = text;
    if (type.includes("json")) {
      const content = JSON.parse(text);
      if (!response.ok) shown.push(make("p", { class: "bad" }, content.detail));
      body = pretty(content);
    }
    shown.push(make("pre", { tabindex: "0", "aria-label": "Body of the answer" }, body.length > 400000 ? `${body.slice(0, 400000)}\n...` : body));
  }
  area.replaceChildren(...shown);
}

function sendForm(method, path, operation) {
  const content = operation.requestBody?.content?.["application/json"];
  const types = Object.keys(operation.responses["200"]?.content ?? {});
  const answer = make("div", { id: "answer", role: "status", "aria-live": "polite" });
  const button = make("button", { type: "submit" }, "Send");
  const fields = (operation.parameters ?? []).map(parameterField);
  if (content) fields.push(...bodyFields(content));
  if (types.length > 1) {
    fields.push(make("label", { for: "accept" }, "Answer as"),
      make("select", { id: "accept" }, ...types.map((type) => make("option", { value: type }, type))));
  }
  const command = make("pre", { tabindex: "0", "aria-label": "The same request for a shell" });
  const form = make("form", {}, ...fields, button, fold("The same request for a shell", command), answer);

  const request = () => {
    const headers = {};
    if (content) headers["Content-Type"] = "application/json";
    if (types.length > 1) headers.Accept = byId("accept").value;
    const key = byId("key").value;
    if (key) headers["X-API-Key"] = key;
    return { url: address(path, form), options: { method: method.toUpperCase(), headers, body: content ? byId("body").value : undefined } };
  };
  const showCommand = () => {
    const { url, options } = request();
    const words = ["curl -s", shellQuoted(location.origin + url)];
    for (const [name, value] of Object.entries(options.headers)) words.push(`-H ${shellQuoted(`${name}: ${name === "X-API-Key" ? "..." : value}`)}`);
    if (options.body) words.push(`-d ${shellQuoted(options.body)}`);
    command.textContent = words.join(" \\\n  ");
  };
  form.addEventListener("toggle", showCommand, true);
  form.addEventListener("input", showCommand);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    button.disabled = true;
    const started = performance.now();
    try {
      const { url, options } = request();
      await showAnswer(await fetch(url, options), started, answer);
    } catch (error) {
      answer.replaceChildren(make("p", { class: "bad" }, `No answer: ${error.message}`));
    } finally {
      button.disabled = false;
    }
  });
  return form;
}

function describeResponses(operation) {
  return Object.entries(operation.responses).map(([status, response]) => {
    const parts = [];
    for (const [type, content] of Object.entries(response.content ?? {})) {
      parts.push(make("p", { class: "hint" }, type));
      if (resolve(content.schema).properties) parts.push(describeFields(content.schema));
      for (const example of Object.values(content.examples ?? {})) {
        parts.push(fold(`Example: ${example.summary}`, make("pre", { tabindex: "0", "aria-label": example.summary }, pretty(example.value))));
      }
    }
    return fold(`${status}: ${response.description}`, ...parts);
  });
}

function show(id) {
  const found = operations.get(id);
  const main = byId("operation");
  if (!found) {
    const text = contract.info.description ?? "";
    main.replaceChildren(make("h2", {}, "About"), ...text.split("\n\n").map((paragraph) => make("p", {}, paragraph)),
      make("p", {}, "Choose an operation. The contract for programs is at ", make("a", { href: "openapi.json" }, "openapi.json"), "."));
  } else {
    const { method, path, operation } = found;
    const request = operation.requestBody?.content?.["application/json"]?.schema;
    main.replaceChildren(
      make("h2", {}, operation.summary),
      make("p", { class: "line" }, `${method.toUpperCase()} ${path}`),
      make("p", {}, operation.description),
      make("h3", {}, "Try it"), sendForm(method, path, operation),
      ...(request ? [make("h3", {}, "Fields of the request"), make("p", {}, resolve(request).description ?? ""), describeFields(request)] : []),
      make("h3", {}, "Answers"), ...describeResponses(operation));
  }
  document.title = `${found ? found.operation.summary : "Interactive documentation"}: ${contract.info.title}`;
  for (const link of document.querySelectorAll("nav a")) {
    if (link.hash === `#${id}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
}

function list() {
  const words = byId("filter").value.toLowerCase().split(/\s+/);
  const shown = [];
  for (const tag of contract.tags ?? []) {
    const links = [...operations.values()]
      .filter(({ operation, text }) => operation.tags.includes(tag.name) && words.every((word) => text.includes(word)))
      .map(({ id, operation }) => make("li", {}, make("a", { href: `#${id}`, "aria-current": location.hash === `#${id}` ? "page" : false }, operation.summary)));
    if (links.length) shown.push(make("h2", {}, tag.description ?? tag.name), make("ul", {}, ...links));
  }
  byId("operations").replaceChildren(...(shown.length ? shown : [make("p", {}, "No operation holds these words.")]));
}

async function start() {
  const response = await fetch("openapi.json");
  if (!response.ok) throw new Error(`openapi.json answered ${response.status}`);
  contract = await response.json();
  byId("title").textContent = contract.info.title;
  byId("version").textContent = `Version ${contract.info.version}`;
  for (const [path, item] of Object.entries(contract.paths)) {
    for (const method of METHODS.filter((name) => item[name])) {
      const operation = item[method];
      const id = operation.operationId;
      const text = [path, id, operation.summary, operation.description].join(" ").toLowerCase();
      operations.set(id, { id, method, path, operation, text });
    }
  }
  byId("filter").addEventListener("input", list);
  addEventListener("hashchange", () => { show(location.hash.slice(1)); byId("operation").focus(); });
  list();
  show(location.hash.slice(1));
}

start().catch((error) => {
  byId("operation").replaceChildren(make("h2", {}, "The contract could not be read"), make("p", { class: "bad" }, error.message));
});

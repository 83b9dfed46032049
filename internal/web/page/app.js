// The page: its start, or one case, as the address says (#/case/ID).

import { byId } from "./dom.js";
import { Start } from "./start.js";
import { Job } from "./job.js";

const start = byId("start"), job = byId("job");
/** @type {Start | Job | null} */
let current = null;

function route() {
  const id = /^#\/case\/([a-z0-9-]+)$/.exec(location.hash)?.[1];
  current?.end();
  start.hidden = Boolean(id);
  job.hidden = !id;
  (id ? start : job).replaceChildren();
  delete job.dataset.step;
  current = id ? new Job(job, id) : new Start(start);
}

addEventListener("hashchange", route);
route();

// The page: its start, or one case, as the address says (#/case/ID).

import { Start } from "./start.js";
import { Job } from "./job.js";

const start = document.getElementById("start"), job = document.getElementById("job");
let shown = null;

function route() {
  const id = /^#\/case\/([a-z0-9-]+)$/.exec(location.hash)?.[1];
  shown?.end();
  start.hidden = Boolean(id);
  job.hidden = !id;
  (id ? start : job).replaceChildren();
  delete job.dataset.step;
  shown = id ? new Job(job, id) : new Start(start);
}

addEventListener("hashchange", route);
route();

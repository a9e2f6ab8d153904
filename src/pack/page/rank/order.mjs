// The order of least expected minutes, and when to stop: the twin of src/evidence/order.rs.

const EXACT_GROUP = 12;
const LEAST_MINUTES = 1e-6;

/** Places of jobs `{ chance, minutes, after }` in the order of least expected minutes; `known` are their
 * groups, which follow from `after` alone. */
export function byTime(jobs, known = groups(jobs)) {
  const found = known.alone.map((at) => single(jobs, at));
  for (const group of known.tied) {
    found.push(...blocks(jobs, groupOrder(jobs, group)));
  }
  found.sort((a, b) => b.ratio - a.ratio || a.first - b.first || a.nth - b.nth);
  return found.flatMap((block) => block.jobs);
}

/** Places in the order of falling chance; what must come before a likely step is drawn up. */
export function byChance(jobs) {
  return byTime(jobs.map((job) => ({ ...job, minutes: job.chance > 0 ? 1 : 0 })));
}

/** The best prefix of an order: after how many steps to hand on, and the minutes expected. */
export function stop(jobs, order, handOn) {
  let best = { after: 0, minutes: handOn };
  let [left, paid] = [1, 0];
  order.forEach((at, i) => {
    paid += jobs[at].minutes * left;
    left = Math.max(left - jobs[at].chance, 0);
    const minutes = paid + handOn * left;
    if (minutes < best.minutes) {
      best = { after: i + 1, minutes };
    }
  });
  return best;
}

function single(jobs, at) {
  const chance = Math.max(jobs[at].chance, 0);
  const minutes = Math.max(jobs[at].minutes, LEAST_MINUTES);
  return { jobs: [at], chance, minutes, ratio: chance / minutes, first: at, nth: 0 };
}

/** Cuts an order into blocks with falling ratios. */
function blocks(jobs, order) {
  const found = [];
  for (const at of order) {
    const block = single(jobs, at);
    while (found.length && found.at(-1).ratio < block.ratio) {
      const before = found.pop();
      block.chance += before.chance;
      block.minutes += before.minutes;
      block.ratio = block.chance / block.minutes;
      block.first = before.first;
      block.jobs.unshift(...before.jobs);
    }
    found.push(block);
  }
  let highest = 0;
  found.forEach((block, nth) => {
    highest = Math.max(highest, block.first);
    block.first = highest;
    block.nth = nth;
  });
  return found;
}

/** Which steps hang together by `after`: those that are `alone`, and groups in order of place. */
export function groups(jobs) {
  const label = jobs.map((_, i) => i);
  jobs.forEach((job, at) => {
    for (const before of job.after) {
      const old = Math.max(label[at], label[before]);
      const now = Math.min(label[at], label[before]);
      if (old !== now) {
        label.forEach((l, i) => {
          if (l === old) {
            label[i] = now;
          }
        });
      }
    }
  });
  const found = jobs.map(() => []);
  label.forEach((l, at) => found[l].push(at));
  return {
    alone: found.filter((group) => group.length === 1).flat(),
    tied: found.filter((group) => group.length > 1),
  };
}

function groupOrder(jobs, group) {
  if (group.every((at) => jobs[at].after.length <= 1)) {
    return treeOrder(jobs, group);
  }
  return group.length <= EXACT_GROUP ? everyOrder(jobs, group) : thumbOrder(jobs, group);
}

/** No step waits for more than one other (Horn 1972). */
function treeOrder(jobs, group) {
  const done = [];
  const trees = group.map((at) => single(jobs, at));
  while (trees.length) {
    let best = 0;
    for (let i = 1; i < trees.length; i++) {
      const better = trees[i].ratio - trees[best].ratio;
      if (better > 0 || (better === 0 && trees[i].first < trees[best].first)) {
        best = i;
      }
    }
    const [block] = trees.splice(best, 1);
    const before = jobs[block.jobs[0]].after[0];
    const tree = trees.find((t) => t.jobs.includes(before));
    if (tree) {
      tree.chance += block.chance;
      tree.minutes += block.minutes;
      tree.ratio = tree.chance / tree.minutes;
      tree.jobs.push(...block.jobs);
    } else {
      done.push(...block.jobs);
    }
  }
  return done;
}

/** The best of all orders that respect `after`, by dynamic programming over sets. */
function everyOrder(jobs, group) {
  const bit = (at) => (group.includes(at) ? 1 << group.indexOf(at) : 0);
  const before = group.map((at) => jobs[at].after.reduce((set, b) => set | bit(b), 0));
  const minutesOf = (nth) => Math.max(jobs[group[nth]].minutes, LEAST_MINUTES);
  const all = (1 << group.length) - 1;
  const cost = new Array(all + 1).fill(Infinity);
  const last = new Array(all + 1).fill(-1);
  cost[0] = 0;
  for (let set = 0; set < all; set++) {
    if (cost[set] === Infinity) {
      continue;
    }
    let paid = 0;
    for (let nth = 0; nth < group.length; nth++) {
      paid += (set >> nth) & 1 ? minutesOf(nth) : 0;
    }
    for (let nth = 0; nth < group.length; nth++) {
      const next = set | (1 << nth);
      if (next !== set && (before[nth] & ~set) === 0) {
        const total =
          cost[set] + Math.max(jobs[group[nth]].chance, 0) * (paid + minutesOf(nth));
        if (total < cost[next]) {
          [cost[next], last[next]] = [total, nth];
        }
      }
    }
  }
  if (cost[all] === Infinity) {
    return group;
  }
  const order = [];
  for (let set = all; set; set ^= 1 << last[set]) {
    order.unshift(group[last[set]]);
  }
  return order;
}

/** The rule of thumb: the best step with all it still waits for goes next. */
function thumbOrder(jobs, group) {
  const done = [];
  while (done.length < group.length) {
    let best = null;
    for (const at of group.filter((g) => !done.includes(g))) {
      const needed = [];
      collectNeeded(jobs, at, done, needed, group.length);
      const chance = needed.reduce((sum, n) => sum + Math.max(jobs[n].chance, 0), 0);
      const minutes = needed.reduce((sum, n) => sum + Math.max(jobs[n].minutes, LEAST_MINUTES), 0);
      if (!best || chance / minutes > best.ratio) {
        best = { ratio: chance / minutes, needed };
      }
    }
    done.push(...best.needed);
  }
  return done;
}

function collectNeeded(jobs, at, done, needed, deep) {
  if (deep === 0) {
    return; // a circle
  }
  for (const before of jobs[at].after) {
    if (!done.includes(before) && !needed.includes(before)) {
      collectNeeded(jobs, before, done, needed, deep - 1);
    }
  }
  if (!needed.includes(at)) {
    needed.push(at);
  }
}

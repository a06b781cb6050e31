// SPDX-License-Identifier: MIT
// Opens pages that the program wrote in a real browser and looks for what a reader would mind.
//
//   pages.mjs TOOLS CHROMIUM PAGES.json     [{"file": ..., "sheets": most sheets, "words": [...]}]
//
// A page with "broken": [...] must be found fault with in each of these words: it proves that the
// looking works.
//
// Of each page: valid HTML; no request, no console message, no dialog, nothing of a record obeyed; no
// violation found by axe (WCAG 2.2 AA), light and dark; every text has its contrast, on shapes and
// weaves too; no sideways scroll at 320 px, in a wide face too; the number of sheets in A4 and
// Letter; on paper nothing is cut off and the words asked for stand there. A page that is "light" (large) is looked at in
// one scheme, its first cells open, and its first texts alone are measured.
import {readFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {pathToFileURL} from 'node:url';

const [tools, browserFile, list] = process.argv.slice(2);
const require = createRequire(pathToFileURL(tools + '/package.json'));
const {chromium} = require('playwright-core');
const {HtmlValidate, StaticConfigLoader} = require('html-validate');
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf-8');

const bad = [];
// no-redundant-role: a table that folds into cards on a phone loses its roles unless they are said.
const validator = new HtmlValidate(new StaticConfigLoader({
  extends: ['html-validate:standard', 'html-validate:a11y'],
  rules: {'no-redundant-role': 'off', 'prefer-native-element': 'off', 'long-title': 'off',
          'no-inline-style': 'error', 'require-sri': 'error', 'no-raw-characters': 'error'}}));

// Runs in the page: texts whose contrast against what lies under them is under 4.5 to 1.
function lowContrast(most) {
  const channel = (v) => (v /= 255, v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
  const light = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
  const ratio = (a, b) => {
    const [x, y] = [light(a), light(b)];
    return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
  };
  const rgb = (text) => {
    const n = (text.match(/[\d.]+/g) || []).map(Number);
    return n.length < 3 || (n.length > 3 && n[3] === 0) ? null : n.slice(0, 3);
  };
  const weave = (fill) => {
    const id = /#(\w+)/.exec(fill);
    return id ? [...document.getElementById(id[1]).children].map((c) => rgb(getComputedStyle(c).fill)) : [];
  };
  const found = [];
  let seen = 0;
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node && seen < most; node = walker.nextNode()) {
    const owner = node.parentElement;
    if (!node.textContent.trim() || !owner.checkVisibility() || owner.closest('title,desc,defs,.unseen')) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    owner.scrollIntoView({block: 'center', inline: 'center'});
    const box = range.getBoundingClientRect();
    if (box.width < 1 || box.height < 1) continue;
    const inDrawing = Boolean(owner.closest('svg'));
    const style = getComputedStyle(owner);
    const colour = rgb(inDrawing ? style.fill : style.color);
    for (const part of [0.02, 0.5, 0.98]) {
      let grounds = [];
      for (const under of document.elementsFromPoint(box.left + box.width * part, box.top + box.height / 2)) {
        if (under.matches('text,tspan')) continue;
        const its = getComputedStyle(under);
        if (under.namespaceURI.endsWith('svg') && !under.matches('svg,g')) {
          if (its.fill === 'none') continue;
          grounds = its.fill.startsWith('url') ? weave(its.fill) : [rgb(its.fill)];
        } else {
          grounds = [rgb(its.backgroundColor)];
        }
        grounds = grounds.filter(Boolean);
        if (grounds.length > 0) break;
      }
      if (grounds.length === 0) continue;
      seen += 1;
      const worst = Math.min(...grounds.map((ground) => ratio(colour, ground)));
      if (worst < 4.5) found.push(`${worst.toFixed(2)} of "${node.textContent.trim().slice(0, 40)}"`);
    }
  }
  return {seen, found};
}

const browser = await chromium.launch({executablePath: browserFile, args: ['--no-sandbox', '--disable-gpu']});

// Runs in the page, as on paper: texts that reach beyond the sheet or beyond a box that hides them.
function cutOff(width) {
  const found = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const owner = node.parentElement;
    if (!node.textContent.trim() || !owner.checkVisibility() || owner.closest('title,desc,defs,.unseen,caption')) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    let right = width;
    for (let over = owner; over; over = over.parentElement) {
      if (getComputedStyle(over).overflowX !== 'visible') right = Math.min(right, over.getBoundingClientRect().right);
    }
    if (box.right > right + 1.5 || box.left < -1.5) found.push(node.textContent.trim().slice(0, 40));
  }
  return found;
}

// Runs in the page: words of a drawing that are wider than the card they stand on.
function outOfCards() {
  const found = [];
  for (const card of document.querySelectorAll('svg rect.card')) {
    const box = card.getBBox();
    for (let text = card.nextElementSibling; text && !text.matches('rect.card'); text = text.nextElementSibling) {
      if (!text.matches('text')) continue;
      const words = text.getBBox();
      const x = words.x + words.width / 2, y = words.y + words.height / 2;
      const on = x > box.x && x < box.x + box.width && y > box.y && y < box.y + box.height;
      if (!on && text.getAttribute('x') !== null && (+text.getAttribute('x') < box.x ||
          +text.getAttribute('x') > box.x + box.width || y < box.y || y > box.y + box.height)) continue;  // beside it
      if (words.x < box.x - 1 || words.x + words.width > box.x + box.width + 1) found.push(text.textContent.slice(0, 40));
    }
  }
  return found;
}

async function judge({file, sheets, words = [], light = false, broken}) {
  const said = [];
  const say = (what) => (broken ? said : bad).push(`${file}: ${what}`);
  const source = readFileSync(file, 'utf-8');
  for (const result of (await validator.validateString(source)).results) {
    for (const m of result.messages) say(`line ${m.line}: ${m.ruleId}: ${m.message}`);
  }
  if (/https?:/.test(source)) say('an address of another place');
  for (const colorScheme of light ? ['dark'] : ['light', 'dark']) {
    const context = await browser.newContext({colorScheme, bypassCSP: true, viewport: {width: 1100, height: 1400}});
    const page = await context.newPage();
    page.on('request', (r) => r.url() === pathToFileURL(file).href || say(`asks for ${r.url()}`));
    page.on('console', (m) => say(`console: ${m.text()}`));
    page.on('pageerror', (e) => say(`error: ${e.message}`));
    page.on('dialog', (d) => (say(`dialog: ${d.message()}`), d.dismiss()));
    await page.goto(pathToFileURL(file).href);
    await page.evaluate((most) => [...document.querySelectorAll('details')].slice(0, most).forEach((d) => (d.open = true)),
                        light ? 40 : 1e9);
    if ((await page.title()).startsWith('OBEYED')) say('a text of a record was obeyed');
    const foreign = await page.evaluate(() => [...document.querySelectorAll('*')].filter((e) =>
      e.matches('script,img,iframe,a,b,i,link') || [...e.attributes].some((a) => a.name.startsWith('on'))).length);
    if (foreign > 0) say(`${foreign} elements that no page of ours has`);
    const {seen, found} = await page.evaluate(lowContrast, light ? 600 : 1e9);
    if (seen < 100) say(`only ${seen} places of text looked at`);
    for (const each of new Set(found)) say(`${colorScheme}: contrast ${each}`);
    await page.evaluate(axe);
    const {violations} = await page.evaluate(() => axe.run(document, {runOnly:
      ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']}));
    for (const v of violations) say(`${colorScheme}: axe ${v.id}: ${v.help}: ${v.nodes[0].html.slice(0, 160)}`);
    await page.setViewportSize({width: 320, height: 700});
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    if (wide > 320) say(`${colorScheme}: ${wide} px wide on a phone of 320`);
    await context.close();
  }
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(pathToFileURL(file).href);
  // Room for words at 96 px an inch, margins of 10 mm taken off.
  for (const [format, width] of [['A4', 718], ['Letter', 740]]) {
    const pdf = (await page.pdf({format, preferCSSPageSize: false})).toString('latin1');
    const count = (pdf.match(/\/Type\s*\/Page\b/g) || []).length;
    if (count < 1 || count > sheets) say(`${count} sheets of ${format}, not at most ${sheets}`);
    await page.setViewportSize({width, height: 1000});
    await page.emulateMedia({media: 'print'});
    for (const each of new Set(await page.evaluate(cutOff, width))) say(`cut off on ${format}: "${each}"`);
    const text = await page.evaluate(() => document.body.innerText);
    for (const each of words) if (!text.includes(each)) say(`not on the paper of ${format}: ${each}`);
    await page.emulateMedia({media: null});
  }
  await context.close();
  // The widest face that a reader's machine may fall back to: a sheet more at most for short pages.
  const wideContext = await browser.newContext({bypassCSP: true});
  const wide = await wideContext.newPage();
  await wide.goto(pathToFileURL(file).href);
  await wide.addStyleTag({content: 'body{font-family:"DejaVu Sans"!important}'});
  await wide.setViewportSize({width: 320, height: 700});
  const broad = await wide.evaluate(() => document.documentElement.scrollWidth);
  if (broad > 320) say(`wide face: ${broad} px wide on a phone of 320`);
  await wide.setViewportSize({width: 718, height: 1000});
  await wide.emulateMedia({media: 'print'});
  for (const each of new Set(await wide.evaluate(cutOff, 718))) say(`wide face: cut off on A4: "${each}"`);
  for (const each of await wide.evaluate(outOfCards)) say(`wide face: out of its card: "${each}"`);
  const count = ((await wide.pdf({format: 'A4'})).toString('latin1').match(/\/Type\s*\/Page\b/g) || []).length;
  if (count > Math.max(sheets + 1, 1.3 * sheets)) say(`wide face: ${count} sheets of A4, not one more than ${sheets} at most`);
  await wideContext.close();
  for (const fault of broken || []) {
    if (!said.some((each) => each.includes(fault))) bad.push(`${file}: nobody noticed: ${fault}`);
  }
}
// A few at a time: a crowd of large pages at once would run into the browser's patience.
const waiting = JSON.parse(readFileSync(list, 'utf-8'));
const next = async () => {
  for (let page = waiting.shift(); page; page = waiting.shift()) await judge(page);
};
await Promise.all([next(), next(), next()]);
await browser.close();
console.log(bad.length > 0 ? bad.join('\n') : 'every page is sound');
process.exit(bad.length > 0 ? 1 : 0);

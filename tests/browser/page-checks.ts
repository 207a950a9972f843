// Checks of a page as it stands in the browser, as text for the browser: contrast, names, headings, ids, sizes, reflow.
// accessibility.test.ts runs them. Each returns a list of what is wrong, empty when nothing is.

/**
 * Contrast of every visible text against what lies behind it: at least 4.5, or 3 for large text.
 * From: WCAG 2.2, success criterion 1.4.3, with relative luminance and contrast ratio as the standard defines them.
 */
export const contrastCheck = `(() => {
  const channels = (colour) => {
    const numbers = colour.match(/[\\d.]+/g).map(Number);
    return { rgb: numbers.slice(0, 3), alpha: numbers.length > 3 ? numbers[3] : 1 };
  };
  const luminance = (rgb) => {
    const [r, g, b] = rgb.map((value) => {
      const share = value / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const behind = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const { rgb, alpha } = channels(getComputedStyle(at).backgroundColor);
      if (alpha === 1) return rgb;
      if (alpha > 0) return null;
    }
    return [255, 255, 255];
  };
  const wrong = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    if (walker.currentNode.textContent.trim() === '' || !element.checkVisibility() || element.closest('script, option, .skip')) continue;
    const style = getComputedStyle(element);
    const back = behind(element);
    if (!back) { wrong.push('see-through behind: ' + element.textContent.slice(0, 40)); continue; }
    const [light, dark] = [luminance(channels(style.color).rgb), luminance(back)].sort((a, b) => b - a);
    const ratio = (light + 0.05) / (dark + 0.05);
    const size = parseFloat(style.fontSize);
    const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
    if (ratio < (large ? 3 : 4.5)) wrong.push(ratio.toFixed(2) + ' ' + element.tagName + '.' + element.className + ': ' + element.textContent.slice(0, 40));
  }
  return wrong;
})()`;

/**
 * Structure: a language, one main part, one first heading, no heading level left out, no id twice, every label at a control.
 * From: WCAG 2.2, 1.3.1, 2.4.1, 2.4.6 and 3.1.1; the HTML standard for ids.
 */
export const structureCheck = `(() => {
  const wrong = [];
  if (!document.documentElement.lang) wrong.push('no language');
  if (!document.title.trim()) wrong.push('no title');
  if (document.querySelectorAll('main').length !== 1) wrong.push('not one main part');
  const headings = [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')].filter((heading) => heading.checkVisibility());
  if (headings.filter((heading) => heading.tagName === 'H1').length !== 1) wrong.push('not one first heading');
  let level = 0;
  for (const heading of headings) {
    const own = Number(heading.tagName[1]);
    if (own > level + 1) wrong.push('heading level left out before: ' + heading.textContent.slice(0, 40));
    level = own;
  }
  const ids = [...document.querySelectorAll('[id]')].map((element) => element.id);
  for (const id of new Set(ids)) if (ids.filter((other) => other === id).length > 1) wrong.push('id twice: ' + id);
  for (const label of document.querySelectorAll('label')) if (!label.control) wrong.push('label without control: ' + label.textContent.slice(0, 40));
  for (const name of ['aria-labelledby', 'aria-describedby'])
    for (const element of document.querySelectorAll('[' + name + ']'))
      for (const id of element.getAttribute(name).split(' ')) if (!document.getElementById(id)) wrong.push(name + ' points nowhere: ' + id);
  for (const link of document.querySelectorAll('a[href^="#"]'))
    if (!document.getElementById(link.getAttribute('href').slice(1))) wrong.push('link points nowhere: ' + link.textContent.slice(0, 40));
  return wrong;
})()`;

/** Buttons, fields and links that stand alone are at least 24 by 24 pixels. From: WCAG 2.2, 2.5.8. */
export const sizeCheck = `(() => {
  const wrong = [];
  for (const element of document.querySelectorAll('button, select, textarea, summary, input:not([type=hidden]), nav a, a.post')) {
    if (!element.checkVisibility()) continue;
    // A small radio button is pressed by its label.
    const box = (element.closest('label') || element).getBoundingClientRect();
    if (box.width < 24 || box.height < 24) wrong.push(box.width.toFixed(0) + 'x' + box.height.toFixed(0) + ' ' + element.tagName + ' ' + (element.textContent || element.name).slice(0, 40));
  }
  return wrong;
})()`;

/** Nothing sticks out sideways. From: WCAG 2.2, 1.4.10 (320 pixels wide). */
export const reflowCheck = `(() => {
  const most = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= most) return [];
  return [...document.querySelectorAll('body *')]
    .filter((element) => !element.closest('.scroll, .skip') && element.getBoundingClientRect().right > most + 1)
    .slice(0, 5)
    .map((element) => 'sticks out: ' + element.tagName + '.' + element.className);
})()`;

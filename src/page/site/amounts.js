// How much of an ingredient, taken out of a line as recipes have it: "200 g butter". What is no such line
// stays as it is. Pure, so that tests can ask about any line.
import { isObject } from './values.js';

const number = String.raw`\d+(?:[.,]\d+)?(?:\s*[/⁄]\s*\d+)?(?:\s+\d+\s*[/⁄]\s*\d+|\s?[¼½¾⅓⅔⅛⅜⅝⅞])?|[¼½¾⅓⅔⅛⅜⅝⅞]`;
const unit = 'kg|g|mg|ml|cl|dl|l|oz|lbs?|pounds?|ounces?|grams?|litres?|liters?|pints?|quarts?|cups?|tbsps?|tbs|tablespoons?|tsps?|teaspoons?|dessertspoons?|pinch(?:es)?|dash(?:es)?'
  + '|cloves?|cans?|tins?|jars?|packets?|sachets?|sheets?|leaf|leaves|slices?|bunch(?:es)?|sprigs?|sticks?|stalks?|pieces?|handfuls?|knobs?';
const line = new RegExp(String.raw`^((?:(?:about|approx\.?|ca\.?)\s+)?(?:\d+\s*[x×]\s*)?(?:${number})(?:\s*(?:-|–|to)\s*(?:${number}))?(?:\s*(?:${unit})\b\.?)?(?:\s*\([^()]*\d[^()]*\))?)\s+(?:of\s+)?(?!(?:${unit})\b\.?\s*(?:$|\())(\p{L}.*)$`, 'iu');

// {item, amount, …} of an entry of `ingredients`.
export function withAmount(of) {
  const item = isObject(of) ? of.item : of;
  const m = typeof item === 'string' && !of.amount && line.exec(item.trim());
  return m ? { ...(isObject(of) ? of : {}), item: m[2], amount: m[1] } : of;
}

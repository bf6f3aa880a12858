package org.tarebook.http;

import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Descriptions of members that mean the same wherever they occur. A record states its own where a
 * member means something else in it.
 */
final class MemberDescriptions {

  private static final Map<String, String> ALL =
      Map.ofEntries(
          Map.entry(
              "altitude",
              "Height above sea level, in altitudeUnit: gives the barometer (ISO 2533) of gauge"
                  + " pressures where a cure states none."),
          Map.entry("altitudeUnit", "Unit of altitude: m."),
          Map.entry("capacity", "Capacity: the most it can show, in unit. Absent where unknown."),
          Map.entry("caution", "What the answer must not be used for, as a sentence for people."),
          Map.entry("cavity", "Number of the cavity in the press, counted from 1."),
          Map.entry("characteristic", "Code of the characteristic."),
          Map.entry("chart", "Code of the chart, which is a row of the control plan."),
          Map.entry(
              "checkEveryMinutes",
              "The instruments are checked at least this often, in minutes; absent where no checks"
                  + " are planned."),
          Map.entry(
              "code",
              "The plant's code of it, by which other records and requests name it:"
                  + " 1 to 40 letters,"
                  + " digits, dots, dashes or underscores."),
          Map.entry("component", "Code of the component; absent where it is not of a component."),
          Map.entry("components", "Codes of the components it is built of, in order."),
          Map.entry("confidence", "Confidence level of the intervals, between 0 and 1."),
          Map.entry("counter", "The station's own running number; absent where it has none."),
          Map.entry("cure", "Id of the cure."),
          Map.entry(
              "cusumAllowance",
              "Reference value k of cumulative sums, in sigma of a point: half the shift to be"
                  + " found. Goes with cusumDecision; absent where the sums are not watched."),
          Map.entry(
              "cusumDecision",
              "Decision interval h of cumulative sums, in sigma of a point. Goes with"
                  + " cusumAllowance; absent where the sums are not watched."),
          Map.entry("degreesOfFreedom", "Degrees of freedom of the estimate of sigma."),
          Map.entry(
              "die",
              "The die, drum, mould or cavity the item came from; absent where none was named."),
          Map.entry(
              "ewmaReach",
              "Width of the limits of an exponentially weighted moving average, in sigma of the"
                  + " average. Goes with ewmaWeight; absent where the average is not watched."),
          Map.entry(
              "ewmaWeight",
              "Weight of the newest point in an exponentially weighted moving average. Goes with"
                  + " ewmaReach; absent where the average is not watched."),
          Map.entry(
              "firstPassRejected",
              "Items of which the first judged reading of a characteristic, or the first judged"
                  + " cure, failed."),
          Map.entry("firstReading", "Id of the first reading in the point."),
          Map.entry("flags", "What makes the figures doubtful, and why; empty where nothing does."),
          Map.entry("frequency", "How often samples are taken, in words."),
          Map.entry("gross", "Gross value, in unit; absent where none was posted."),
          Map.entry("instrument", "Code of the instrument."),
          Map.entry("judged", "Items with at least one judged reading or cure that counts."),
          Map.entry(
              "key",
              "The sender's own key of this record: a retry with the same key and content is"
                  + " answered with what is stored. 1 to 64 visible ASCII characters."),
          Map.entry("lastReading", "Id of the reading that completed the point."),
          Map.entry("leaf", "The leaf of the truck; absent where none was named."),
          Map.entry("limitSet", "Code of the limit set."),
          Map.entry("line", "Code of the line."),
          Map.entry("lot", "The lot it belongs to, by the plant's own name; absent where unknown."),
          Map.entry("madeAt", "When the item was made; absent where unknown."),
          Map.entry("measuredBefore", "End of the window of measurement times, exclusive."),
          Map.entry("measuredFrom", "Start of the window of measurement times, inclusive."),
          Map.entry("name", "Its name for people."),
          Map.entry(
              "notComputed",
              "The figures that do not exist, each with its reason; empty where all exist."),
          Map.entry(
              "operator", "Who measured, by the plant's own sign; absent where none was named."),
          Map.entry("ownRules", "Zone rules that the plant wrote itself; in JSON only."),
          Map.entry(
              "permissibleError",
              "Largest error of an instrument that passes a check, in permissibleErrorUnit; absent"
                  + " where none is set here."),
          Map.entry(
              "permissibleErrorUnit",
              "UCUM code of the unit of permissibleError; absent where that is."),
          Map.entry("person", "Who recorded it: the name of the token that was used."),
          Map.entry("plyRating", "Ply rating; absent where it has none."),
          Map.entry("press", "Code of the press."),
          Map.entry("product", "Code of the product; absent where it is not of a product."),
          Map.entry("reason", "Why, in the words of the person who recorded it."),
          Map.entry("recordedAt", "When the service recorded it, by the service's clock."),
          Map.entry(
              "rejected",
              "Items of which the last judged reading of a characteristic, or the last judged"
                  + " cure, failed."),
          Map.entry(
              "retired",
              "true retires it or leaves it retired; false keeps it in use or takes it back into"
                  + " use. Its history is kept."),
          Map.entry("retiredAt", "When it was retired; absent while it is in use."),
          Map.entry("revision", "Number of the revision, counted from 1."),
          Map.entry("sampleSize", "Readings taken each time."),
          Map.entry("schedule", "Code of the cure schedule."),
          Map.entry("size", "Size of the tyre, as moulded on its sidewall."),
          Map.entry("station", "Code of the station."),
          Map.entry(
              "stratum",
              "The stratum of the chart, such as DIE=D7; empty where the chart has no strata."),
          Map.entry(
              "subgroupSize",
              "Readings in one point: 2 to 25, and 1 on charts of single readings."),
          Map.entry("tare", "Tare, in unit; absent where none was posted."),
          Map.entry(
              "truck", "The truck an item without a number lies on; absent where none was named."),
          Map.entry("unit", "UCUM code of the unit of the values beside it."),
          Map.entry("validFrom", "First moment at which it is in force."),
          Map.entry(
              "verificationInterval",
              "Verification scale interval e (OIML R 76) of a scale, in unit; absent where it has"
                  + " none or it is unknown."),
          Map.entry(
              "withdrawnAt", "When it was withdrawn; absent where it has not been withdrawn."),
          Map.entry(
              "withdrawnBy",
              "Who withdrew it: the name of the token that was used. Absent where it has not been"
                  + " withdrawn."),
          Map.entry(
              "withdrawnReason",
              "Why it was withdrawn, in that person's words; absent where it has not been"
                  + " withdrawn."),
          Map.entry("words", "The finding as a sentence for people, with its values and units."));

  private MemberDescriptions() {}

  /** The description of a member of that name; absent where the name alone does not tell. */
  static @Nullable String of(String member) {
    return ALL.get(member);
  }
}

package org.tarebook.compound;

import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Component;

/** The kinetics of the plant's compounds, for those who compute with them. */
@Service
public class CompoundKinetics {

  private final Compounds compounds;
  private final KineticsStore store;

  CompoundKinetics(Compounds compounds, KineticsStore store) {
    this.compounds = compounds;
    this.store = store;
  }

  /**
   * The revision a request names.
   *
   * @param revision the latest where absent
   * @param pointer where the compound stands in the request, for a refusal
   */
  public Kinetics require(String compound, @Nullable Integer revision, String pointer) {
    Component component = compounds.require(compound, pointer);
    int latest = store.latest(component.id());
    if (latest == 0) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          pointer,
          "compound "
              + compound
              + " has no kinetics on record, and there are none by default; record them with their"
              + " source at /api/v1/compounds/"
              + compound
              + "/kinetics first");
    }
    return store
        .find(component.id(), revision == null ? latest : revision)
        .orElseThrow(
            () ->
                Problem.at(
                    ProblemType.UNKNOWN_CODE,
                    pointer,
                    "There is no revision "
                        + revision
                        + " of the kinetics of "
                        + compound
                        + "; the latest is "
                        + latest
                        + "."))
        .forComputing(component.code());
  }

  /** The revision with this id. */
  public Kinetics byId(long id) {
    RecordedKinetics found =
        store.find(id).orElseThrow(() -> new IllegalStateException("No kinetics with id " + id));
    return found.forComputing(compounds.byId(found.compoundId()).code());
  }
}

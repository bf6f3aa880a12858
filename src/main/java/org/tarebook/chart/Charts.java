package org.tarebook.chart;

import java.util.List;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Register;
import org.tarebook.storage.WriteLocks;

/** The rows of the control plan, each of which is a chart. */
@Service
public class Charts extends Register<Chart> {

  private final ChartRepository repository;
  private final WriteLocks locks;

  Charts(ChartRepository repository, Tools tools, WriteLocks locks) {
    super("chart", repository, tools);
    this.repository = repository;
    this.locks = locks;
  }

  @Override
  public Chart add(Chart fresh, Actor actor, Object detail) {
    locks.take(List.of(fresh.characteristicId()));
    requireNoOther(fresh);
    Chart chart = super.add(fresh, actor, detail);
    locks.open(chart.id());
    return chart;
  }

  /** The charts of a characteristic, retired ones included. */
  public List<Chart> ofCharacteristic(long characteristicId) {
    return repository.findByCharacteristicId(characteristicId);
  }

  /** Refuses a second chart in use for the same characteristic on the same line. */
  void requireNoOther(Chart chart) {
    repository.findByCharacteristicIdAndLineId(chart.characteristicId(), chart.lineId()).stream()
        .filter(other -> !other.retired() && !other.code().equals(chart.code()))
        .findFirst()
        .ifPresent(
            other -> {
              throw Problem.at(
                  ProblemType.CONFLICT,
                  "/characteristic",
                  "is charted on this line by " + other.code() + " already; retire that row first");
            });
  }
}

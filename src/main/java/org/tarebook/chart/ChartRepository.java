package org.tarebook.chart;

import java.util.List;
import org.tarebook.plant.CodedRepository;

interface ChartRepository extends CodedRepository<Chart> {

  List<Chart> findByCharacteristicIdAndLineId(long characteristicId, long lineId);

  List<Chart> findByCharacteristicId(long characteristicId);
}

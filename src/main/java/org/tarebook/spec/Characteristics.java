package org.tarebook.spec;

import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.plant.Register;
import org.tarebook.storage.WriteLocks;

/** What the plant measures and counts. */
@Service
public class Characteristics extends Register<Characteristic> {

  private final WriteLocks locks;

  Characteristics(CharacteristicRepository repository, Tools tools, WriteLocks locks) {
    super("characteristic", repository, tools);
    this.locks = locks;
  }

  @Override
  public Characteristic add(Characteristic fresh, Actor actor, Object detail) {
    Characteristic characteristic = super.add(fresh, actor, detail);
    locks.open(characteristic.id());
    return characteristic;
  }
}

package org.tarebook.plant;

import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.storage.WriteLocks;

/** The plant's presses. */
@Service
public class Presses extends Register<Press> {

  private final WriteLocks locks;

  Presses(PressRepository repository, Tools tools, WriteLocks locks) {
    super("press", repository, tools);
    this.locks = locks;
  }

  @Override
  public Press add(Press fresh, Actor actor, Object detail) {
    Press press = super.add(fresh, actor, detail);
    locks.open(press.id());
    return press;
  }
}

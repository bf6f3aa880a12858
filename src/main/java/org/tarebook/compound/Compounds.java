package org.tarebook.compound;

import org.springframework.stereotype.Service;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Component;
import org.tarebook.plant.Components;

/** The components that are compounds. */
@Service
class Compounds {

  private final Components components;

  Compounds(Components components) {
    this.components = components;
  }

  /** The compound an address names. */
  Component get(String code) {
    Component component =
        components.find(code).orElseThrow(() -> Problem.notFound("compound", code));
    if (component.kind() != Component.Kind.COMPOUND) {
      throw new Problem(ProblemType.NOT_FOUND, otherKind(component));
    }
    return component;
  }

  /** The compound a member of a request names. */
  Component require(String code, String pointer) {
    Component component = components.require(code, pointer);
    if (component.kind() != Component.Kind.COMPOUND) {
      throw Problem.at(ProblemType.RULE_BROKEN, pointer, otherKind(component));
    }
    return component;
  }

  /** The component with this id, whatever its kind is now. */
  Component byId(long id) {
    return components.byId(id);
  }

  private static String otherKind(Component component) {
    return "There is no compound "
        + component.code()
        + ": this component is of kind "
        + component.kind()
        + ".";
  }
}

package org.tarebook.compound;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.RunningTarebook;

/**
 * A compound of its own, and a quality engineer who states things of it. In what is posted a single
 * quote stands for a double one.
 */
final class CompoundBench {

  private final Client quality;
  private final String code;

  CompoundBench(RunningTarebook tarebook) {
    this(tarebook, "COMPOUND");
  }

  /** A component of any kind. */
  CompoundBench(RunningTarebook tarebook, String kind) {
    quality = tarebook.quality();
    code = Codes.fresh("CMP");
    quality
        .post(
            "/api/v1/components",
            quoted("{'code':'" + code + "','name':'one','kind':'" + kind + "'}"))
        .expect(201);
  }

  /** Its code. */
  String code() {
    return code;
  }

  /** Who states things of it. */
  Client quality() {
    return quality;
  }

  /**
   * States kinetics with an energy of 90 kJ/mol.
   *
   * @param changes members and their JSON in turn; null leaves a member out
   */
  Answer kinetics(String key, String... changes) {
    return quality.post(path("kinetics"), kineticsBody(key, changes));
  }

  /** Kinetics as they are posted. */
  static String kineticsBody(String key, String... changes) {
    Map<String, String> members = new LinkedHashMap<>();
    members.put("key", "'" + key + "'");
    members.put("law", "'ARRHENIUS'");
    members.put("referenceTemperature", "{'value':150,'unit':'Cel'}");
    members.put("activationEnergy", "{'value':90,'unit':'kJ/mol'}");
    members.put("diffusivity", "{'value':0.11,'unit':'mm2/s'}");
    members.put("diffusivityUncertainty", "{'value':5,'unit':'%'}");
    members.put("conductivity", "{'value':0.25,'unit':'W/(m.K)'}");
    members.put("source", "'laboratory report 17'");
    return object(members, changes);
  }

  /** Kinetics from cure times in minutes: temperature, unit and time in turn. */
  Answer fromTimes(String key, String... times) {
    List<String> stated = new ArrayList<>();
    for (int i = 0; i < times.length; i += 3) {
      stated.add(
          "{'temperature':{'value':%s,'unit':'%s'},'t90':{'value':%s,'unit':'min'}}"
              .formatted(times[i], times[i + 1], times[i + 2]));
    }
    return kinetics(key, "activationEnergy", null, "cureTimes", stated.toString());
  }

  /** Records a curve of three points: 5, 1 and 11 dN.m at 0, 1 and 11 min. */
  Answer curve(String key, String... changes) {
    return quality.post(path("cure-meter-curves"), curveBody(key, changes));
  }

  /** A curve as it is posted. */
  static String curveBody(String key, String... changes) {
    Map<String, String> members = new LinkedHashMap<>();
    members.put("key", "'" + key + "'");
    members.put("temperature", "{'value':150,'unit':'Cel'}");
    members.put("time", "{'values':[0,1.00,11],'unit':'min'}");
    members.put("torque", "{'values':[5,1.0,11],'unit':'dN.m'}");
    members.put("lot", "'B-1'");
    members.put("measuredAt", "'2026-03-02T06:00:00Z'");
    members.put("source", "'cure meter 2'");
    return object(members, changes);
  }

  /** An address below the compound. */
  String path(String rest) {
    return "/api/v1/compounds/" + code + "/" + rest;
  }

  /** Where the faults of a refusal lie. */
  static List<String> pointers(Answer refused) {
    List<String> pointers = new ArrayList<>();
    refused.at("/errors").forEach(fault -> pointers.add(fault.get("pointer").asString()));
    return pointers;
  }

  private static String object(Map<String, String> members, String... changes) {
    for (int i = 0; i < changes.length; i += 2) {
      if (changes[i + 1] == null) {
        members.remove(changes[i]);
      } else {
        members.put(changes[i], changes[i + 1]);
      }
    }
    return quoted(
        members.entrySet().stream()
            .map(member -> "'" + member.getKey() + "':" + member.getValue())
            .collect(Collectors.joining(",", "{", "}")));
  }

  private static String quoted(String text) {
    return text.replace('\'', '"');
  }
}

// All posteriors of networks by the junction tree of weka (Debian package weka, class MarginCalculator), for comparison.
// Arguments: a network in XML interchange format, then one question each: "a=s1,b=s0", or "-" for nothing seen.
// Prints "question;node;state;probability" and, after all states, "time;question;milliseconds" (median of warm runs, tree made each time).

import java.util.Arrays;
import weka.classifiers.bayes.net.BIFReader;
import weka.classifiers.bayes.net.MarginCalculator;

public class Marginals {
  static final int RUNS = 201;

  static MarginCalculator ask(BIFReader network, String question) throws Exception {
    MarginCalculator calculator = new MarginCalculator();
    calculator.calcMargins(network);
    if (question.equals("-")) return calculator;
    for (String piece : question.split(",")) {
      String[] parts = piece.split("=");
      int node = network.getNode(parts[0]);
      calculator.setEvidence(node, state(network, node, parts[1]));
    }
    return calculator;
  }

  static int state(BIFReader network, int node, String name) {
    for (int s = 0; s < network.getCardinality(node); s++)
      if (network.getNodeValue(node, s).equals(name)) return s;
    throw new IllegalArgumentException(name);
  }

  public static void main(String[] arguments) throws Exception {
    BIFReader network = new BIFReader();
    network.processFile(arguments[0]);
    for (int q = 1; q < arguments.length; q++) {
      MarginCalculator calculator = ask(network, arguments[q]);
      for (int node = 0; node < network.getNrOfNodes(); node++) {
        double[] margin = calculator.getMargin(node);
        for (int s = 0; s < margin.length; s++)
          System.out.println(arguments[q] + ";" + network.getNodeName(node) + ";" + network.getNodeValue(node, s) + ";" + margin[s]);
      }
      double[] times = new double[RUNS];
      for (int run = 0; run < RUNS; run++) {
        long start = System.nanoTime();
        ask(network, arguments[q]);
        times[run] = (System.nanoTime() - start) / 1e6;
      }
      Arrays.sort(times);
      System.out.println("time;" + arguments[q] + ";" + times[RUNS / 2]);
    }
  }
}
